// Leading a tasting: which step is open, what closes, and who has answered.
import assert from 'node:assert/strict';
import test from 'node:test';
import { arranged, drawDuplicate, duplicates, pouredTwice, secondGlassId } from '../../static/domain/table/arrange.js';
import {
  answeredAt,
  answeredCount,
  doneAt,
  goBack,
  goOn,
  isClosed,
  ownPlace,
  places,
  showAnswers,
  start,
  stateOf,
} from '../../static/domain/table/flow.js';
import { nextAction } from '../../static/domain/table/next_action.js';
import { tastedBefore } from '../../static/domain/table/same_wine.js';
import { missingTruths } from '../../static/domain/table/truth.js';

const NOW = '2026-11-28T20:00:00+01:00';

/** @param {string} kind @param {string} id @param {Record<string, any>} fields */
const row = (kind, id, fields) => ({ kind, id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/** @param {Record<string, any>} head @param {Record<string, any>[]} [glasses] @param {any[]} [sheets] */
function tableOf(head, glasses = [{}, {}], sheets = []) {
  return /** @type {any} */ ({
    row: row('group_tasting', 't', { steps: ['verdict', 'look'], order: 'listed', ...head }),
    glasses: glasses.map((fields, at) => row('glass', `g${at}`, { position: at + 1, ...fields })),
    guests: ['ada', 'ben'].map((id, at) => row('guest', id, { number: at + 1 })),
    sheets: sheets.map(([guest, glass, fields], at) => row('sheet', `s${at}`, { guest, glass, ...fields })),
    bottles: new Map(),
    asked: true,
  });
}

/** @param {any} table @param {any[]} edits applied to a copy of the table */
function after(table, edits) {
  const apply = (/** @type {any} */ one) => {
    const fields = edits.filter(({ id }) => id === one.id).map((edit) => edit.fields);
    return { ...one, fields: Object.assign({}, one.fields, ...fields) };
  };
  return { ...table, row: apply(table.row), glasses: table.glasses.map(apply) };
}

/** @param {any} table @param {number} glass @param {string} step @param {number} [guest] */
const shut = (table, glass, step, guest = 0) => isClosed(table, table.guests[guest], table.glasses[glass], step);

test('steps follow the order of tasting, glass by glass', () => {
  assert.deepEqual(
    places(tableOf({})).map(({ glass, step }) => `${glass} ${step}`),
    ['g0 look', 'g0 verdict', 'g1 look', 'g1 verdict'],
  );
});

test('a led tasting opens the first step, a free one none', () => {
  const led = after(tableOf({ pace: 'led' }), start(tableOf({ pace: 'led' }), NOW));
  assert.deepEqual([led.row.fields.open_glass, led.row.fields.open_step], ['g0', 'look']);
  assert.equal(stateOf(led), 'open');
  const free = after(tableOf({}), start(tableOf({ pace: 'free' }), NOW));
  assert.equal(free.row.fields.open_glass, null);
  assert.equal(free.row.fields.started_at, NOW);
});

test('going on closes the step that was open', () => {
  const table = tableOf({ open_glass: 'g0', open_step: 'look' });
  const next = after(table, goOn(table, NOW));
  assert.equal(next.glasses[0].fields.closed_look_at, NOW);
  assert.deepEqual([next.row.fields.open_glass, next.row.fields.open_step], ['g0', 'verdict']);
  assert.equal(shut(next, 0, 'look'), true);
  assert.equal(shut(next, 0, 'verdict'), false);
});

test('after the last step nothing is open, and back opens it again', () => {
  const table = tableOf({ open_glass: 'g1', open_step: 'verdict' });
  const done = after(table, goOn(table, NOW));
  assert.equal(done.row.fields.open_glass, null);
  assert.equal(shut(done, 1, 'verdict'), true);
  const again = after(done, goBack(done));
  assert.deepEqual([again.row.fields.open_glass, again.row.fields.open_step], ['g1', 'verdict']);
  assert.equal(shut(again, 1, 'verdict'), false);
});

test('back at the first step changes nothing', () => {
  assert.deepEqual(goBack(tableOf({ open_glass: 'g0', open_step: 'look' })), []);
});

test('showing answers closes every step of that glass alone', () => {
  const table = tableOf({}, [{ closed_look_at: '2026-11-28T19:00:00+01:00' }, {}]);
  const shown = after(table, showAnswers(table, table.glasses[0], NOW));
  assert.equal(shown.glasses[0].fields.closed_look_at, '2026-11-28T19:00:00+01:00');
  assert.equal(shown.glasses[0].fields.closed_verdict_at, NOW);
  assert.equal(shown.glasses[0].fields.closed_whole_at, undefined);
  assert.equal(shut(shown, 1, 'look'), false);
});

test('only guests with an answer to that step are counted', () => {
  const table = tableOf(
    {},
    [{}, {}],
    [
      ['ada', 'g0', { liking: 7 }],
      ['ben', 'g0', { look_depth: 'pale', liking: null }],
      ['gone', 'g0', { liking: 3 }],
    ],
  );
  assert.equal(answeredAt(table, { glass: 'g0', step: 'verdict' }), 1);
  assert.equal(answeredCount(table, 'g0'), 2);
  assert.equal(answeredCount(table, 'g1'), 0);
});

test('letters follow the order of tasting', () => {
  const head = { order: 'drawn', order_seed: 12345 };
  const ids = ['g0', 'g1', 'g2', 'g3', 'g4', 'g5'];
  const marks = new Map(arranged(head, ids).map(({ id, fields }) => [id, fields.mark]));
  assert.deepEqual([...marks.values()].sort(), ['A', 'B', 'C', 'D', 'E', 'F']);
  const table = tableOf(
    head,
    ids.map((id) => ({ mark: marks.get(id) })),
  );
  const tasted = places(table).filter(({ step }) => step === 'look');
  assert.deepEqual(
    tasted.map(({ glass }) => marks.get(glass)),
    ['A', 'B', 'C', 'D', 'E', 'F'],
  );
});

test('both glasses of a wine are apart where there is room', () => {
  for (let twice = 0; twice < 4; twice += 1) {
    for (let drawn = 0; drawn < 3; drawn += 1) {
      let calls = 0;
      const found = drawDuplicate([0, 1, 2, 3], 4, (below) => (calls++ ? Math.min(drawn, below - 1) : twice));
      const wines = [0, 1, 2, 3];
      wines.splice(found.at, 0, twice);
      assert.equal(
        wines.some((wine, at) => wine === wines[at + 1]),
        false,
        `${twice} ${drawn}`,
      );
    }
  }
  assert.deepEqual(
    drawDuplicate([0], 1, () => 0),
    { twice: 0, at: 1 },
  );
});

test('a duplicate is a later glass with the same bottle', () => {
  const { glasses } = tableOf({}, [{ bottle: 'x' }, { bottle: 'y' }, { bottle: 'x' }, {}, {}]);
  assert.deepEqual(
    duplicates(glasses).map(({ id }) => id),
    ['g2'],
  );
});

/** Four guests with an order of their own: ada has g0 first, ben g1. @param {any[]} [sheets] @param {any} [head] */
function ledByPlace(sheets = [], head = {}) {
  return tableOf({ order: 'balanced', pace: 'led', ...head }, [{}, {}, {}, {}], sheets);
}

test('each guest has the own glass at the open place', () => {
  const table = after(ledByPlace(), start(ledByPlace(), NOW));
  const [ada, ben] = table.guests;
  const open = places(table)[0];
  assert.deepEqual(open, { glass: 'g0', step: 'look' });
  assert.deepEqual(ownPlace(table, open, ada), { glass: 'g0', step: 'look' });
  assert.deepEqual(ownPlace(table, open, ben), { glass: 'g1', step: 'look' });
  // QR codes show everybody the first order.
  assert.equal(ownPlace(table, open, row('guest', 'cleo', { number: 2, entry: 'qr' })).glass, 'g0');
  const free = ledByPlace([], { pace: 'free' });
  assert.equal(ownPlace(free, open, ben).glass, 'g0');
});

test('a place closes for the own glass of each guest', () => {
  const table = ledByPlace([], { open_glass: 'g0', open_step: 'look' });
  const next = after(table, goOn(table, NOW));
  assert.deepEqual([shut(next, 0, 'look', 0), shut(next, 1, 'look', 0)], [true, false]);
  assert.deepEqual([shut(next, 0, 'look', 1), shut(next, 1, 'look', 1)], [false, true]);
});

test('a glass laid open closes for everybody, and no place with it', () => {
  const table = ledByPlace();
  const shown = after(table, showAnswers(table, table.glasses[1], NOW));
  for (const guest of [0, 1])
    assert.deepEqual(
      [0, 1, 2, 3].map((glass) => shut(shown, glass, 'verdict', guest)),
      [false, true, false, false],
    );
});

test('answers at a place are counted in the own glass', () => {
  const table = ledByPlace([
    ['ada', 'g0', { liking: 7 }],
    ['ben', 'g0', { liking: 4 }],
  ]);
  const [first] = places(table).filter(({ step }) => step === 'verdict');
  assert.equal(answeredAt(table, first), 1);
  const both = ledByPlace([
    ['ada', 'g0', { liking: 7 }],
    ['ben', 'g1', { liking: 4 }],
  ]);
  assert.equal(answeredAt(both, first), 2);
});

test('a phone says to be done, elsewhere an answer counts', () => {
  /** @param {string[]} entries @param {any[]} sheets */
  const at = (entries, sheets) => {
    const table = tableOf({ pace: 'led', open_glass: 'g0', open_step: 'look' }, [{}, {}], sheets);
    table.guests.forEach((/** @type {any} */ guest, /** @type {number} */ n) => {
      guest.fields.entry = entries[n];
    });
    const { done, tasting } = doneAt(table, { glass: 'g0', step: 'look' });
    return [done, tasting.map(({ id }) => id)];
  };
  const noted = [
    ['ada', 'g0', { look_depth: 'deep' }],
    ['ben', 'g0', { look_depth: 'deep', done_look: null }],
  ];
  assert.deepEqual(at(['phone', 'passed'], noted), [1, ['ada']]);
  assert.deepEqual(at(['phone', 'phone'], noted), [0, ['ada', 'ben']]);
  assert.deepEqual(at(['phone', 'phone'], [['ben', 'g0', { done_look: true }]]), [1, ['ada']]);
  // To be done with another step or glass says nothing.
  assert.deepEqual(at(['phone', 'phone'], [['ben', 'g0', { done_verdict: true }]]), [0, ['ada', 'ben']]);
});

test('nobody tastes on once a glass is closed', () => {
  const place = { glass: 'g0', step: 'look' };
  for (const glass of [{ discussed_at: NOW }, { uncovered_at: NOW }])
    assert.deepEqual(doneAt(tableOf({}, [glass, {}]), place), { done: 2, tasting: [] });
  assert.equal(doneAt(tableOf({}, [{}, { discussed_at: NOW }]), place).tasting.length, 2);
  assert.equal(doneAt(tableOf({}, []), place).tasting.length, 2);
});

test('the end and an uncovered label close a step, too', () => {
  assert.equal(shut(tableOf({ ended_at: NOW }), 0, 'look'), true);
  assert.equal(shut(tableOf({}, [{ uncovered_at: NOW }]), 0, 'look'), true);
  assert.equal(shut(tableOf({ labels_hidden: false }, [{ uncovered_at: NOW }]), 0, 'look'), false);
});

test('the glass that was added is told from the one before it', () => {
  const { glasses } = tableOf({}, [{ bottle: 'x' }, { bottle: 'y' }, { bottle: 'y' }]);
  assert.equal(pouredTwice(glasses), null);
  const second = row('glass', secondGlassId('g1', 'y'), { bottle: 'y' });
  // It may stand before the first one.
  const found = pouredTwice([second, ...glasses]);
  assert.deepEqual([found?.first.id, found?.second.id], ['g1', second.id]);
  const other = [row('glass', 'g1', { bottle: 'z' }), second];
  assert.equal(pouredTwice(other), null);
});

test('steps of a glass that is talked about are skipped', () => {
  const table = tableOf({ open_glass: 'g0', open_step: 'look' }, [{ discussed_at: NOW }, {}]);
  const next = after(table, goOn(table, NOW));
  assert.deepEqual([next.row.fields.open_glass, next.row.fields.open_step], ['g1', 'look']);
});

test('talk about the last glass leaves no step open', () => {
  const table = tableOf({ open_glass: 'g1', open_step: 'look' });
  const shown = after(table, showAnswers(table, table.glasses[1], NOW));
  assert.equal(shown.row.fields.open_glass, null);
  const first = tableOf({ open_glass: 'g0', open_step: 'verdict' });
  assert.equal(after(first, showAnswers(first, first.glasses[0], NOW)).row.fields.open_glass, 'g0');
});

test('steps come first, then talk, labels and results', () => {
  const kinds = [
    tableOf({ open_glass: 'g0', open_step: 'look', labels_hidden: true }),
    tableOf({ labels_hidden: true }, [{ discussed_at: NOW }, {}]),
    tableOf({}, [{ discussed_at: NOW }, { discussed_at: NOW }]),
    tableOf({ labels_hidden: false }, [{ discussed_at: NOW }, { discussed_at: NOW }]),
  ].map((table) => nextAction(table).kind);
  assert.deepEqual(kinds, ['step', 'talk', 'uncover', 'results']);
});

test('only glasses with notes may be named as the same wine', () => {
  const glasses = ['a', 'b', 'c'].map((id) => ({ id }));
  const noted = { a: { liking: 7 }, b: { guess_same_as: 'a', words: null }, c: { liking: 3 } };
  const names = (/** @type {string} */ glass, count = 3) =>
    tastedBefore(glasses.slice(0, count), glass, (id) => noted[id]).map(({ id }) => id);
  assert.deepEqual([names('a'), names('b'), names('c')], [['c'], ['a', 'c'], ['a']]);
  // With two glasses there is nothing to find.
  assert.deepEqual(names('b', 2), []);
});

test('a style stands for its grapes when guesses are judged', () => {
  assert.deepEqual(missingTruths({}), ['abv', 'vintage', 'style', 'grape']);
  assert.deepEqual(missingTruths({ label_abv_low: 12, label_abv_high: 13, non_vintage: true, grapes: 'Gamay' }), [
    'style',
  ]);
  assert.deepEqual(missingTruths({ label_abv: 13, vintage: 2019, style: 'spk_cava' }), []);
});

test('the leader is not counted among the guests', () => {
  const table = tableOf({}, [{}, {}], [['ada', 'g0', { liking: 7 }]]);
  table.guests[0].fields.entry = 'leader';
  assert.equal(answeredAt(table, { glass: 'g0', step: 'verdict' }), 0);
  assert.equal(answeredCount(table, 'g0'), 0);
});
