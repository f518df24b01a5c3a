// What a guest's page does after labels or answers were shown.
import assert from 'node:assert/strict';
import test from 'node:test';
import { areResultsDue, endedView, freePlace, isClosed } from '../../static/domain/guest/place.js';
import { isRead } from '../../static/features/guest/follow.js';

/** @param {Record<string, any>[]} glasses @param {Record<string, any>} [rest] @returns {any} */
const viewOf = (glasses, rest = {}) => ({
  table: {},
  glasses: glasses.map((glass, at) => ({ id: 'ab'[at], position: at + 1, ...glass })),
  ...rest,
});

/** @param {any} view @param {Record<string, any>} [rest] @returns {any} */
const seatOf = (view, rest = {}) => ({ view, origin: 'server', state: 'in', ...rest });

test('results are due from the last label until they are shown', () => {
  const all = [{ uncovered: true }, { uncovered: true }];
  assert.equal(areResultsDue(seatOf(viewOf(all))), true);
  assert.equal(areResultsDue(seatOf(viewOf([{ uncovered: true }, { uncovered: false }]))), false);
  assert.equal(areResultsDue(seatOf(viewOf([]))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all, { results: { order: [] } }))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all, { table: { ended_at: 'x' } }))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all), { origin: 'qr' })), false);
  assert.equal(areResultsDue(seatOf(viewOf(all), { state: 'removed' })), false);
});

test('a table that takes nothing more has no open step', () => {
  const view = viewOf([{}], { table: { ended_at: null, name: 'Monday table' } });
  const [glass] = view.glasses;
  assert.equal(isClosed(view, glass, 'verdict', 0), false);
  const ended = endedView(view, 'now');
  assert.equal(isClosed(ended, glass, 'verdict', 0), true);
  assert.deepEqual(ended['table'], { ended_at: 'now', name: 'Monday table' });
  assert.equal(endedView(viewOf([], { table: { ended_at: 'x' } }), 'now')['table'].ended_at, 'x');
});

test('a page is read while it shows answers or a label', () => {
  const place = { glass: 'a', step: 'verdict', isTalk: true, key: 'a/talk' };
  assert.equal(isRead(viewOf([{ discussed: true }]), place), true);
  assert.equal(isRead(viewOf([{ uncovered: true }]), place), true);
  // The leader has taken the showing back.
  assert.equal(isRead(viewOf([{ discussed: false }]), place), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), { ...place, isTalk: false }), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), null), false);
});

test('own pace begins when the first glass comes', () => {
  const free = { table: { pace: 'free', steps: ['look', 'verdict'] } };
  assert.equal(
    freePlace(viewOf([], free), null, () => ({})),
    null,
  );
  const first = freePlace(viewOf([{}, {}], free), null, () => ({}));
  assert.deepEqual(first, { glass: 'a', step: 'look' });
  // An answer does not turn the page.
  const answered = (/** @type {string} */ id) => (id === 'a' ? { look_colour: 'red' } : {});
  assert.equal(freePlace(viewOf([{}, {}], free), first, answered), first);
});

test('own pace goes on where a led guest stopped', () => {
  const steps = ['look', 'verdict'];
  const answered = (/** @type {string} */ id) => (id === 'a' ? { look_colour: 'red' } : {});
  assert.equal(freePlace(viewOf([{}, {}], { table: { pace: 'led', steps } }), null, answered), null);
  const free = { table: { pace: 'free', steps } };
  const next = freePlace(viewOf([{}, {}], free), null, answered);
  assert.deepEqual(next, { glass: 'a', step: 'verdict' });
  // Its glass was taken away, or its step is not asked any more.
  assert.deepEqual(freePlace(viewOf([{ id: 'c' }], free), next, answered), { glass: 'c', step: 'look' });
  const lookOnly = { table: { pace: 'free', steps: ['look'] } };
  assert.deepEqual(freePlace(viewOf([{}, {}], lookOnly), next, answered), { glass: 'b', step: 'look' });
});
