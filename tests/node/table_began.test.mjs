// The page that sets a table warns once guests have begun.
import assert from 'node:assert/strict';
import test from 'node:test';
import { Began } from '../../static/features/table/set/began.js';
import './english.mjs';
import { textOf } from './text_of.mjs';

/** @param {string} entry @param {Record<string, any>} answers */
function saidOf(entry, answers) {
  const [guests, sheets] = [
    [{ id: 'ada', fields: { entry } }],
    [{ id: 's', fields: { guest: 'ada', glass: 'g0', ...answers } }],
  ];
  return textOf(Began({ table: /** @type {any} */ ({ guests, sheets }) }));
}

test('who sets a table hears that guests have begun', () => {
  assert.match(saidOf('phone', { liking: 7 }), /^Guests have already started/);
  assert.equal(saidOf('phone', { done_verdict: true }), '');
  assert.equal(saidOf('leader', { liking: 7 }), '');
});
