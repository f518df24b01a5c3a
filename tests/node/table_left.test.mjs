// A guest who has left keeps nobody waiting; what the guest noted stays.
import assert from 'node:assert/strict';
import test from 'node:test';
import { answeredAt, doneAt } from '../../static/domain/table/flow.js';
import { ledTable } from '../../static/domain/table/led_table.js';
import { nextAction } from '../../static/domain/table/next_action.js';
import { DoneCount } from '../../static/features/table/lead/done_count.js';
import { glassNotedLine, placeNotedLine } from '../../static/features/table/noted_line.js';
import { whoIsThere } from '../../static/features/table/who_is_there.js';
import './english.mjs';
import { textOf } from './text_of.mjs';

const LEFT = '2026-11-28T20:00:00+01:00';
const PLACE = { glass: 'g0', step: 'look' };

/** @param {string} id @param {Record<string, any>} fields */
const row = (id, fields) => ({ id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/**
 * A table where Ben has left.
 * @param {Record<string, any>} [head]
 * @param {any[]} [sheets]
 * @param {string} [entry] of Ada
 */
function tableOf(head = {}, sheets = [], entry = 'phone') {
  return /** @type {any} */ ({
    row: row('t', { steps: ['look', 'verdict'], pace: 'led', open_glass: 'g0', open_step: 'look', ...head }),
    glasses: ['g0', 'g1'].map((id, at) => row(id, { position: at + 1 })),
    guests: [
      row('ada', { number: 1, name: 'Ada', entry }),
      row('ben', { number: 2, name: 'Ben', entry: 'phone', left_at: LEFT }),
    ],
    sheets: sheets.map(([guest, glass, fields], at) => row(`s${at}`, { guest, glass, ...fields })),
    bottles: new Map(),
    asked: true,
  });
}

test('a guest who left is not waited for', () => {
  const { done, tasting } = doneAt(tableOf({}, [['ada', 'g0', { done_look: true }]]), PLACE);
  assert.deepEqual([done, tasting], [1, []]);
});

test('a guest who left is not among those who are there', () => {
  assert.equal(whoIsThere(tableOf()), '1 guest');
  assert.equal(whoIsThere(tableOf({ ended_at: LEFT })), '2 guests');
});

test('notes of a guest who left are counted with the glass', () => {
  const table = tableOf({}, [['ben', 'g0', { look_depth: 'deep' }]]);
  assert.equal(glassNotedLine(table, 'g0'), '1 of 2 guests noted something');
  assert.equal(glassNotedLine(table, 'g1'), '0 of 1 guest noted something');
  assert.equal(answeredAt(table, PLACE), 0);
  assert.equal(placeNotedLine(table, PLACE), '0 of 1 guest noted something');
});

test('the one phone goes round once the last guest’s own has left', () => {
  assert.equal(nextAction(tableOf({}, [], 'passed')).kind, 'pass');
  const noted = [['ada', 'g0', { look_depth: 'deep' }]];
  assert.equal(nextAction(tableOf({}, noted, 'passed')).kind, 'step');
});

test('a glass without a bottle has no label', () => {
  const glasses = [null, 'b'].map((bottle, at) => row(`g${at}`, { position: at + 1, bottle, uncovered_at: LEFT }));
  const bottles = new Map([['b', row('b', { name: 'Zephyrhill', vintage: 2019 })]]);
  const led = ledTable({ ...tableOf(), glasses, bottles });
  assert.deepEqual(
    led.glasses.map(({ bottle }) => bottle?.['vintage']),
    [undefined, 2019],
  );
});

test('guests of one name are told apart', () => {
  /** @param {any[]} guests */
  const names = (...guests) => {
    const rows = guests.map(([name, left], at) => row(`p${at}`, { name, left_at: left ? LEFT : null }));
    return ledTable({ ...tableOf(), guests: rows }).guests.map(({ name }) => name);
  };
  assert.deepEqual(names(['Rita', true], ['Otto'], ['Rita']), ['Rita (has left)', 'Otto', 'Rita']);
  assert.deepEqual(names(['Rita'], ['Otto', true], ['Rita']), ['Rita (1)', 'Otto', 'Rita (2)']);
  assert.deepEqual(names(['Rita', true], ['Rita', true]), ['Rita (has left, 1)', 'Rita (has left, 2)']);
});

test('the leader tells guests of one name apart who still taste', () => {
  const table = tableOf();
  table.guests.push(row('ann', { number: 3, name: 'Ada', entry: 'passed' }));
  assert.match(textOf(DoneCount({ table, place: PLACE })), /Still tasting: Ada \(1\) and Ada \(2\)/);
});
