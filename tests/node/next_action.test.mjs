// What the leader does next while one phone goes round.
import assert from 'node:assert/strict';
import test from 'node:test';
import { nextAction } from '../../static/domain/table/next_action.js';

/** @param {string} kind @param {string} id @param {Record<string, any>} fields @returns {any} */
const row = (kind, id, fields) => ({ kind, id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/** @param {string[]} entries of the guests @param {number[]} answered the guests who have answered */
function kindOf(entries, answered = []) {
  return nextAction({
    row: row('group_tasting', 't', { open_glass: 'g0', open_step: 'verdict', steps: ['verdict'] }),
    glasses: [row('glass', 'g0', { position: 1 })],
    guests: entries.map((entry, at) => row('guest', `p${at}`, { entry })),
    sheets: answered.map((at) => row('sheet', `s${at}`, { guest: `p${at}`, glass: 'g0', liking: 6 })),
    bottles: new Map(),
    asked: true,
  }).kind;
}

test('a shared phone goes round before the next step', () => {
  assert.equal(kindOf(['passed', 'passed'], [0]), 'pass');
  assert.equal(kindOf(['passed', 'passed'], [0, 1]), 'step');
});

test('only a phone that all guests share goes round', () => {
  assert.deepEqual([kindOf(['passed', 'phone']), kindOf(['leader']), kindOf([])], ['step', 'step', 'step']);
});
