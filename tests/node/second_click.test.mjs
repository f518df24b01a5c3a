// The second click of a double click acts nowhere: not on its button, nor on what lies below it by then.
import assert from 'node:assert/strict';
import test from 'node:test';
import { once } from '../../static/components/layout/second_click.js';

/** @param {number} detail how many clicks came in a row @returns {any} */
const click = (detail) => Object.assign(new Event('click', { cancelable: true }), { detail });

/** @param {number} detail @returns {boolean} whether a click of the page acts */
const acts = (detail) => dispatchEvent(click(detail));

test('a double click acts once', () => {
  let times = 0;
  const act = once(() => {
    times += 1;
  });
  act(click(1));
  act(click(2));
  assert.equal(times, 1);
  acts(1);
});

test('a second click is ignored on what it meets by then', () => {
  once(() => {})(click(1));
  assert.equal(acts(2), false);
  assert.equal(acts(2), true);
  once(() => {})(click(1));
  assert.equal(acts(1), true);
  assert.equal(acts(2), true);
});
