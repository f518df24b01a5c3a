// The edits of a tap that leads a tasting, and what is judged of a label (static/domain/table).
import assert from 'node:assert/strict';
import test from 'node:test';
import { arranged, drawDuplicate } from '../../static/domain/table/arrange.js';
import { isCovered } from '../../static/domain/table/covered.js';
import * as flow from '../../static/domain/table/flow.js';
import { glassOrder } from '../../static/domain/table/glass_order.js';
import { nextAction } from '../../static/domain/table/next_action.js';
import { clockOffset, lastInTime, thinned } from '../../static/domain/table/noted_times.js';
import { tastedBefore } from '../../static/domain/table/same_wine.js';
import { fieldsOfStep, hasAnyAnswer } from '../../static/domain/table/steps.js';
import { judgedLabel, missingTruths } from '../../static/domain/table/truth.js';

const NOW = '2026-11-28T20:00:00+01:00';

/** @param {string} kind @param {string} id @param {Record<string, any>} fields */
const row = (kind, id, fields) => ({ kind, id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/**
 * @param {Record<string, any> | null} head null: not read yet
 * @param {Record<string, any>[]} [glasses]
 * @returns {any}
 */
function tableOf(head, glasses = [{}, {}]) {
  return {
    row: head ? row('group_tasting', 't', { steps: ['verdict', 'look'], order: 'listed', ...head }) : undefined,
    glasses: glasses.map((fields, at) => row('glass', `g${at}`, { position: at + 1, ...fields })),
    guests: [],
    sheets: [],
    bottles: new Map(),
    asked: true,
  };
}

/** @param {string | null} glass @param {string | null} step */
const opening = (glass, step) => ({ kind: 'group_tasting', id: 't', fields: { open_glass: glass, open_step: step } });

test('a tap closes the open step and opens the next one', () => {
  assert.deepEqual(flow.goOn(tableOf({ open_glass: 'g0', open_step: 'look' }), NOW), [
    { kind: 'glass', id: 'g0', fields: { closed_look_at: NOW } },
    opening('g0', 'verdict'),
    { kind: 'glass', id: 'g0', fields: { closed_verdict_at: null } },
  ]);
  assert.deepEqual(flow.goOn(tableOf({}), NOW), [
    opening('g0', 'look'),
    { kind: 'glass', id: 'g0', fields: { closed_look_at: null } },
  ]);
  const last = tableOf({ open_glass: 'g1', open_step: 'verdict' });
  assert.equal(flow.nextPlace(last), null);
  assert.deepEqual(flow.goOn(last, NOW), [
    { kind: 'glass', id: 'g1', fields: { closed_verdict_at: NOW } },
    opening(null, null),
  ]);
});

test('a tap goes back by one step', () => {
  assert.deepEqual(flow.goBack(tableOf({ open_glass: 'g1', open_step: 'look' })), [
    opening('g0', 'verdict'),
    { kind: 'glass', id: 'g0', fields: { closed_verdict_at: null } },
  ]);
});

/** @param {any} table @param {any[]} edits @returns {any[]} the place that they open */
const opened = (table, edits) => {
  const fields = edits.find(({ kind }) => kind === 'group_tasting')?.fields ?? table.row.fields;
  return [fields.open_glass, fields.open_step];
};

test('back passes over a glass whose answers are shown', () => {
  const shown = { discussed_at: NOW };
  assert.deepEqual(flow.goBack(tableOf({ open_glass: 'g1', open_step: 'look' }, [shown, {}])), []);
  const third = tableOf({ open_glass: 'g2', open_step: 'look' }, [{}, shown, {}]);
  assert.deepEqual(opened(third, flow.goBack(third)), ['g0', 'verdict']);
  const done = tableOf({}, [{}, shown]);
  assert.deepEqual(opened(done, flow.goBack(done)), ['g0', 'verdict']);
  // By place the guests have other glasses there.
  const byPlace = tableOf({ order: 'balanced', open_glass: 'g1', open_step: 'look' }, [shown, {}]);
  assert.deepEqual(opened(byPlace, flow.goBack(byPlace)), ['g0', 'verdict']);
});

test('leading on opens the first step that is not closed', () => {
  const running = { pace: 'led', started_at: NOW };
  for (const [glasses, place] of /** @type {[any[], string[]][]} */ ([
    [
      [{}, {}],
      ['g0', 'look'],
    ],
    [
      [{ closed_look_at: NOW }, {}],
      ['g0', 'verdict'],
    ],
    [
      [{ discussed_at: NOW }, {}],
      ['g1', 'look'],
    ],
  ])) {
    const table = tableOf(running, glasses);
    assert.deepEqual(opened(table, flow.leadOn(table)), place);
  }
  // Its glass was talked about meanwhile.
  const open = { ...running, open_glass: 'g0', open_step: 'verdict' };
  for (const [glasses, place] of [
    [
      [{ discussed_at: NOW }, {}],
      ['g1', 'look'],
    ],
    [[{ discussed_at: NOW }], [null, null]],
  ])
    assert.deepEqual(opened(tableOf(open, glasses), flow.leadOn(tableOf(open, glasses))), place);
  for (const table of [
    tableOf({ pace: 'led' }),
    tableOf({ ...running, ended_at: NOW }),
    tableOf({ ...running, open_glass: 'g1', open_step: 'look' }),
    tableOf(running, [{ discussed_at: NOW }]),
    tableOf(null),
  ])
    assert.deepEqual(flow.leadOn(table), []);
});

test('at everybody’s own pace a tap closes no step', () => {
  const table = tableOf({ pace: 'free', started_at: NOW, open_glass: 'g0', open_step: 'look' });
  assert.equal(flow.openIndex(table), -1);
  assert.equal(nextAction(table).kind, 'talk');
});

test('a table that is not read yet changes nothing', () => {
  const table = tableOf(null);
  assert.deepEqual([flow.start(table, NOW), flow.goBack(table)], [[], []]);
  assert.deepEqual(
    flow.goOn(table, NOW).filter(({ kind }) => kind === 'group_tasting'),
    [],
  );
  assert.deepEqual([flow.stateOf(table), flow.openIndex(table), flow.answeredCount(table, 'g0')], ['new', -1, 0]);
  assert.deepEqual(
    flow.showAnswers(table, table.glasses[0], NOW).map(({ kind, id }) => [kind, id]),
    [['glass', 'g0']],
  );
  const talked = tableOf(null, [{ discussed_at: NOW }]);
  assert.equal(nextAction(talked).kind, 'uncover');
});

test('a tasting is new, open or ended', () => {
  assert.equal(flow.stateOf(tableOf({})), 'new');
  assert.equal(flow.stateOf(tableOf({ started_at: NOW })), 'open');
  assert.equal(flow.stateOf(tableOf({ started_at: NOW, ended_at: NOW })), 'ended');
});

test('by place a glass that is talked about still comes', () => {
  const head = { order: 'balanced', pace: 'led', open_glass: 'g0', open_step: 'look' };
  assert.deepEqual(flow.nextPlace(tableOf(head, [{ discussed_at: NOW }, {}])), { glass: 'g0', step: 'verdict' });
  const last = tableOf({ ...head, open_glass: 'g1', open_step: 'verdict' });
  assert.equal(flow.showAnswers(last, last.glasses[1], NOW).length, 1);
});

test('talk about a glass leaves the step of another one open', () => {
  const last = tableOf({ open_glass: 'g1', open_step: 'verdict' });
  assert.equal(flow.showAnswers(last, last.glasses[0], NOW).length, 1);
  const middle = tableOf({ open_glass: 'g1', open_step: 'look' }, [{}, {}, {}]);
  assert.deepEqual(
    flow.showAnswers(middle, middle.glasses[1], NOW).map(({ kind }) => kind),
    ['glass'],
  );
});

test('the next action names the place or the glass', () => {
  const hidden = { labels_hidden: true };
  const talked = { discussed_at: NOW };
  assert.deepEqual(nextAction(tableOf({ open_glass: 'g0', open_step: 'look' })), {
    kind: 'step',
    next: { glass: 'g0', step: 'verdict' },
  });
  const talk = tableOf(hidden, [talked, {}]);
  assert.deepEqual(nextAction(talk), { kind: 'talk', glass: talk.glasses[1] });
  const cover = tableOf(hidden, [{ ...talked, uncovered_at: NOW }, talked]);
  assert.deepEqual(nextAction(cover), { kind: 'uncover', glass: cover.glasses[1] });
  const all = { ...talked, uncovered_at: NOW };
  assert.deepEqual(nextAction(tableOf(hidden, [all, all])), { kind: 'results' });
});

test('glasses as listed have letters as listed', () => {
  const glass = (/** @type {string} */ id, /** @type {number} */ position, /** @type {string} */ mark) => ({
    kind: 'glass',
    id,
    fields: { position, mark },
  });
  assert.deepEqual(arranged({ order: 'listed', order_seed: 12345 }, ['a', 'b', 'c']), [
    glass('a', 1, 'A'),
    glass('b', 2, 'B'),
    glass('c', 3, 'C'),
  ]);
});

test('a drawn order without a seed is that of nought', () => {
  const ids = ['a', 'b', 'c', 'd', 'e', 'f'];
  const drawn = arranged({ order: 'drawn' }, ids);
  const letters = glassOrder('drawn', 0, 6, 1).map((place) => drawn[place]?.fields['mark']);
  assert.deepEqual(letters, ['A', 'B', 'C', 'D', 'E', 'F']);
});

test('the second glass stands in any place but beside the first', () => {
  const placesOf = (/** @type {number} */ twice) =>
    Array.from({ length: 3 }, (_, drawn) => {
      let calls = 0;
      return drawDuplicate([0, 1, 2, 3], 4, () => (calls++ ? drawn : twice)).at;
    });
  assert.deepEqual(
    [placesOf(0), placesOf(1), placesOf(3)],
    [
      [2, 3, 4],
      [0, 3, 4],
      [0, 1, 2],
    ],
  );
});

test('values twenty seconds apart both travel', () => {
  const count = (/** @type {number} */ ms) =>
    thinned([
      { value: 1, ms: 1_000_000 },
      { value: 2, ms: 1_000_000 + ms },
    ]).length;
  assert.deepEqual([count(19_999), count(20_000)], [1, 2]);
});

test('a clock is corrected by the flight alone, too', () => {
  assert.equal(clockOffset({ leader_ms: 1_000, guest_ms: 0 }, null, 540), 1_000);
});

test('the last value counts, in whatever order they came', () => {
  const entries = [
    { value: 8, ms: 30 },
    { value: 4, ms: 10 },
  ];
  assert.deepEqual(lastInTime(entries, null, 100), { entry: entries[0], isLate: false });
});

test('a removed answer beside another is no lack of notes', () => {
  const glasses = ['a', 'b', 'c'].map((id) => ({ id }));
  const noted = { a: {}, b: { liking: 7, words: null }, c: { guess_same_as: 'b' } };
  assert.deepEqual(
    tastedBefore(glasses, 'a', (id) => noted[id]).map(({ id }) => id),
    ['b'],
  );
});

test('a printed range is judged by its middle, half of one is not', () => {
  assert.equal(judgedLabel({ label_abv_low: 12, label_abv_high: 13 }).label_abv, 12.5);
  assert.equal(judgedLabel({ label_abv: 14, label_abv_low: 12, label_abv_high: 13 }).label_abv, 14);
  for (const half of [{ label_abv_low: 12 }, { label_abv_high: 13 }, {}]) {
    assert.equal(judgedLabel(half).label_abv, null);
    assert.ok(missingTruths(half).includes('abv'));
  }
  assert.equal(judgedLabel({}).grapes, null);
});

test('a label is covered unless the leader said otherwise', () => {
  const [glass] = tableOf({}).glasses;
  assert.deepEqual([isCovered(tableOf({}), glass), isCovered(tableOf(null), undefined)], [true, true]);
  assert.equal(isCovered(tableOf({ labels_hidden: false }), glass), false);
});

test('a style of one grape stands for it, one of several for each', () => {
  /** @param {Record<string, any>} bottle */
  const grapes = (bottle) => [judgedLabel(bottle).grapes, judgedLabel(bottle).style_grapes];
  assert.deepEqual(grapes({ style: 'spk_prosecco' }), ['Glera', 'Glera']);
  assert.deepEqual(grapes({ style: 'spk_cava' }), [null, 'Macabeo, Xarel-lo, Parellada']);
  assert.deepEqual(grapes({ style: 'spk_cava', grapes: 'Macabeo' }), ['Macabeo', null]);
  assert.deepEqual(grapes({}), [null, null]);
});

test('to be done with a step is no answer', () => {
  const sheets = [{}, { done_look: true }, { liking: null }, { liking: 7 }];
  assert.deepEqual(sheets.map(hasAnyAnswer), [false, false, false, true]);
  assert.deepEqual(fieldsOfStep('moon'), []);
});
