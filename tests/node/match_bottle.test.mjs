// Suggestions of known bottles while a name is typed.
import { test } from 'node:test';
import assert from 'node:assert/strict';
import { suggestBottles } from '../../static/domain/bottle/match_bottle.js';

/** @param {string} id @param {string} name @param {number} [vintage] @returns {any} */
const known = (id, name, vintage) => ({
  id,
  fields: { name, vintage: vintage ?? null },
  plain: name.toLowerCase(),
  spelt: ` ${name.toLowerCase()}`,
});
const ROWS = [
  known('1', 'Colle Rosso', 2018),
  known('2', 'Colle Rosso', 2019),
  known('3', 'Colle Rosso Riserva', 2019),
  known('4', 'Monte Colle Rosso'),
];
/** @param {string} typed */
const found = (typed) => suggestBottles(ROWS, typed, '9').map(({ id }) => id);

test('equal names come first, then the newest', () => {
  assert.deepEqual(found('Colle Rosso'), ['2', '1', '4']);
});

test('a year after the name prefers the bottle of that vintage', () => {
  assert.deepEqual(found('Colle Rosso 2'), ['2', '1']);
  assert.deepEqual(found('Colle Rosso 2018'), ['1', '2']);
  assert.deepEqual(found('Colle Rosso 2021'), ['2', '1']);
});

test('a year after a part of the name suggests nothing', () => {
  assert.deepEqual(found('Colle 2019'), []);
});
