// A wine that stands in two glasses, by lot or because the leader chose it (static/domain/table/arrange.js).
import assert from 'node:assert/strict';
import test from 'node:test';
import { ownRepeats, pouredTwice, secondGlassId } from '../../static/domain/table/arrange.js';

/** @param {string} id @param {string | null} bottle @returns {any} */
const glass = (id, bottle) => ({ kind: 'glass', id, fields: { bottle } });

/** @param {any[]} glasses */
const repeats = (glasses) => ownRepeats(glasses).map((same) => same.map(({ id }) => id));

test('a wine that the leader added again is not drawn by lot', () => {
  const own = ['x', 'y', 'x', null, null, 'x'].map((bottle, at) => glass(`g${at}`, bottle));
  assert.equal(pouredTwice(own), null);
  assert.deepEqual(repeats(own), [['g0', 'g2', 'g5']]);
  const drawn = glass(secondGlassId('g1', 'y'), 'y');
  assert.equal(pouredTwice([...own, drawn])?.second, drawn);
  assert.deepEqual(repeats([...own, drawn]), [['g0', 'g2', 'g5']]);
});
