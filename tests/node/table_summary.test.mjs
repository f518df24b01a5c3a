// The summary of a led tasting: plain objects in, codes and numbers out.
import assert from 'node:assert/strict';
import test from 'node:test';
import { OrderSection } from '../../static/domain/table/results_view.js';
import { tableSummary } from '../../static/rules/table/table_summary.js';
import './english.mjs';
import { LETTERS, tableOf } from './summary_table.mjs';
import { textOf } from './text_of.mjs';

const AGREED = { ada: [3, 5, 7, 8], ben: [2, 4, 6, 9], cleo: [4, 5, 6, 7], dan: [1, 3, 8, 9], eve: [3, 4, 7, 8] };

test('a table that agrees is ordered, tested and told apart', () => {
  const { ranking, counts } = tableSummary(tableOf(AGREED));
  assert.deepEqual(counts, { glasses: 4, guests: 5, sheets: 20 });
  assert.equal(ranking.status, 'tested');
  assert.deepEqual(
    ranking.order.map(({ glass, rank_sum, mean_rank }) => [glass, rank_sum, mean_rank]),
    [
      ['D', 20, 4],
      ['C', 15, 3],
      ['B', 10, 2],
      ['A', 5, 1],
    ],
  );
  // All five give the same order: W is 1, and p is 24 of the 24^5 possible answers.
  assert.equal(ranking.method, 'exact');
  assert.ok(Math.abs(ranking.w - 1) < 1e-12);
  assert.ok(Math.abs(ranking.p - 24 / 24 ** 5) < 1e-12);
  assert.equal(ranking.reading, 'agreed');
  assert.deepEqual(
    ranking.told_apart.map(({ better, worse }) => better + worse),
    ['DA', 'CA', 'DB'],
  );
});

test('a guest who skipped a glass is left out and named', () => {
  const { ranking } = tableSummary(tableOf({ ...AGREED, flo: [5, null, 3, 2] }));
  assert.deepEqual(ranking.used, ['ada', 'ben', 'cleo', 'dan', 'eve']);
  assert.deepEqual(ranking.left_out, ['flo']);
});

test('a glass that only a latecomer rated excludes nobody', () => {
  const rows = Object.entries(AGREED).map(([guest, row]) => [guest, [...row, guest === 'eve' ? 9 : null]]);
  const { ranking } = tableSummary(tableOf(Object.fromEntries(rows)));
  assert.deepEqual(ranking.glasses, ['A', 'B', 'C', 'D']);
  assert.equal(ranking.used.length, 5);
  const last = ranking.order.find(({ glass }) => glass === 'E');
  assert.deepEqual(last, { glass: 'E', rank_sum: null, mean_rank: null, median: 9 });
});

test('the order never contradicts the middle rating beside it', () => {
  const rows = { ada: [7, 8, 1], ben: [7, 8, 1], cleo: [7, 6, 1], dan: [7, 6, 1], eve: [1, 6, 1] };
  const { ranking } = tableSummary(tableOf(rows));
  assert.deepEqual(
    ranking.order.map(({ glass, median }) => [glass, median]),
    [
      ['A', 7],
      ['B', 6],
      ['C', 1],
    ],
  );
});

test('a glass that too few rated has no place', () => {
  const rows = { ada: [5, 6, 4, null], ben: [5, 7, 4, null], cleo: [6, 7, 3, null], dan: [5, 6, 3, 9] };
  const said = textOf(OrderSection({ summary: tableSummary(tableOf(rows)), glass: String, guest: String }));
  assert.match(said, /3\. +C +3\.5 out of 9 +D +9 out of 9 · too few ratings to be placed/);
  assert.doesNotMatch(
    textOf(OrderSection({ summary: tableSummary(tableOf(AGREED)), glass: String, guest: String })),
    /few/,
  );
});

test('no pair is told apart without a significant overall test', () => {
  const { ranking } = tableSummary(tableOf({ ada: [1, 2, 3, 4], ben: [4, 3, 2, 1], cleo: [2, 4, 1, 3] }));
  assert.equal(ranking.reading, 'not_shown');
  assert.deepEqual(ranking.told_apart, []);
});

test('too few guests or glasses, or only ties, give no test', () => {
  const status = (likings) => tableSummary(tableOf(likings)).ranking.status;
  assert.equal(status({ ada: [1, 2, 3], ben: [1, 2, 3] }), 'too_few_guests');
  assert.equal(status({ ada: [1, 2], ben: [1, 2], cleo: [1, 2] }), 'too_few_glasses');
  assert.equal(status({ ada: [5, 5, 5], ben: [7, 7, 7], cleo: [6, 6, 6] }), 'all_tied');
});

test('a table without answers has a summary', () => {
  for (const table of [tableOf({}), tableOf({ ada: [null, null, null] }), { glasses: [], guests: [], sheets: [] }]) {
    const found = tableSummary(table);
    assert.equal(found.ranking.status, 'too_few_guests');
    assert.equal(found.tastes.status, 'too_few_guests');
    assert.deepEqual(found.scales, []);
    assert.equal(found.duplicate, null);
    assert.equal(found.counts.guests, 0);
  }
});

test('unknown guests and glasses are ignored, later sheets win', () => {
  const table = tableOf({ ada: [5] });
  table.sheets.push(
    { guest: 'nobody', glass: 'A', fields: { liking: 1 } },
    { guest: 'ada', glass: 'Z', fields: { liking: 1 } },
    { guest: 'ada', glass: 'A', fields: { liking: 8, acidity: null } },
  );
  const [glass] = tableSummary(table).glasses;
  assert.deepEqual(glass.lines, { liking: { dots: [{ guest: 'ada', value: 8 }], n: 1, low: 8, median: 8, high: 8 } });
});

test('lines have sorted dots, median and the middle half', () => {
  const [glass] = tableSummary(tableOf({ ada: [7], ben: [5], cleo: [9], dan: [5] })).glasses;
  assert.deepEqual(glass.lines.liking, {
    dots: [
      { guest: 'ben', value: 5 },
      { guest: 'dan', value: 5 },
      { guest: 'ada', value: 7 },
      { guest: 'cleo', value: 9 },
    ],
    n: 4,
    low: 5,
    median: 6,
    high: 7.5,
  });
});

test('aromas are counted by guests, shared ones first', () => {
  const noted = {
    ada: { first_nose_words: ['lemon', '~Wet Dog'], sip_words: ['lemon:3'] },
    ben: { second_nose_words: ['vanilla', 'lemon:2'] },
    cleo: { sip_2_words: ['~wet dog'], sip_3_words: ['~wet dog'] },
  };
  const table = tableOf({ ada: [5], ben: [5], cleo: [5] }, { fields: (guest) => noted[guest] });
  assert.deepEqual(tableSummary(table).glasses[0].aromas, [
    { aroma: 'lemon', own: false, guests: ['ada', 'ben'], strength: 5 },
    { aroma: '~Wet Dog', own: true, guests: ['ada', 'cleo'], strength: 2 },
    { aroma: 'vanilla', own: false, guests: ['ben'], strength: 1 },
  ]);
});

test('choices are counted, the most frequent first', () => {
  const table = tableOf(
    { ada: [5], ben: [5], cleo: [5] },
    { fields: (guest) => ({ look_colour: guest === 'ada' ? 'white' : 'red', just_right_acidity: 1 }) },
  );
  assert.deepEqual(tableSummary(table).glasses[0].choices, {
    look_colour: [
      { value: 'red', guests: ['ben', 'cleo'] },
      { value: 'white', guests: ['ada'] },
    ],
    just_right_acidity: [{ value: 1, guests: ['ada', 'ben', 'cleo'] }],
  });
});

test('guesses are compared with the bottle once it is known', () => {
  const guess = { ada: 12.4, ben: 14, cleo: 12.6 };
  const fields = (guest) => ({ guess_abv: guess[guest], guess_style: `s_${guest}`, guess_grape: `Pinot-${guest}` });
  const table = tableOf({ ada: [5], ben: [5], cleo: [5] }, { fields });
  const hidden = tableSummary(table).glasses[0].guesses;
  assert.deepEqual(hidden.abv.closest, []);
  assert.equal(hidden.style.guesses[0].right, null);
  table.glasses[0].bottle = { label_abv: 12.5, style: 's_ben', grapes: 'pinot-cleo, Merlot', vintage: 2020 };
  table.on = '2026-11-28';
  const { abv, style, grape, age_years } = tableSummary(table).glasses[0].guesses;
  assert.deepEqual(abv.closest, ['ada', 'cleo']);
  assert.deepEqual(
    abv.guesses.map(({ guest }) => guest),
    ['ada', 'cleo', 'ben'],
  );
  assert.deepEqual(
    style.guesses.map(({ right }) => right),
    [false, true, false],
  );
  assert.deepEqual(
    grape.guesses.map(({ right }) => right),
    [false, false, true],
  );
  assert.deepEqual(age_years, { truth: 6, guesses: [], closest: [] });
});

test('agreement on a scale leaves out guests with gaps', () => {
  const acidity = { ada: [2, 5, 8], ben: [3, 5, 8], cleo: [2, 6, 9], dan: [null, 5, 7] };
  const fields = (guest, glass) => ({
    acidity: acidity[guest][LETTERS.indexOf(glass)],
    body: guest === 'ada' ? 4 : null,
  });
  const { scales } = tableSummary(
    tableOf({ ada: [5, 5, 5], ben: [5, 5, 5], cleo: [5, 5, 5], dan: [5, 5, 5] }, { fields }),
  );
  const [first, second] = scales;
  assert.deepEqual([first.field, first.status, first.used], ['acidity', 'measured', ['ada', 'ben', 'cleo']]);
  assert.ok(first.icc > 0.9 && first.icc_consistency >= first.icc);
  assert.equal(first.reading, 'agree');
  assert.deepEqual([second.field, second.status, second.icc], ['body', 'too_few_guests', null]);
});

test('close answers on glasses that are alike are no disagreement', () => {
  const sweetness = { ada: [0, 0.8, 0.2], ben: [0.7, 1.1, 0.9], cleo: [1.1, 2.4, 1.3] };
  const fields = (guest, glass) => ({ sweetness: sweetness[guest][LETTERS.indexOf(glass)] });
  const [scale] = tableSummary(tableOf({ ada: [5, 5, 5], ben: [5, 5, 5], cleo: [5, 5, 5] }, { fields })).scales;
  assert.ok(scale.icc < 0.5);
  assert.equal(scale.reading, 'alike');
});

test('a scale without variation has no agreement', () => {
  const { scales } = tableSummary(tableOf(AGREED, { fields: () => ({ tannin: 5 }) }));
  assert.deepEqual(
    scales.map(({ field, status }) => [field, status]),
    [['tannin', 'no_variation']],
  );
});

test('the same wine is not preferred over itself', () => {
  const { ranking } = tableSummary(tableOf(AGREED, { same: ['A', 'D'] }));
  assert.deepEqual(
    ranking.told_apart.map(({ better, worse }) => better + worse),
    ['CA', 'DB'],
  );
});

test('no pair is told apart against the order of the list', () => {
  const liked = ['- 5 4', '9 7 9', '3 4 5', '8 6 9', '3 3 5', '7 8 8', '5 4 5', '7 6 -'].map((row, at) => [
    `guest ${at}`,
    row.split(' ').map((each) => (each === '-' ? null : Number(each))),
  ]);
  const { ranking } = tableSummary(tableOf(Object.fromEntries(liked)));
  assert.equal(ranking.reading, 'agreed');
  assert.deepEqual(
    ranking.order.map(({ glass, median }) => [glass, median]),
    [
      ['A', 7],
      ['B', 5.5],
      ['C', 5],
    ],
  );
  assert.deepEqual(ranking.told_apart, []);
});

test('the map shows whose taste is close, whatever their level', () => {
  const { tastes } = tableSummary(
    tableOf({ ada: [9, 7, 5, 3], ben: [7, 5, 3, 1], cleo: [1, 3, 5, 7], dan: [5, null, null, 5] }),
  );
  assert.equal(tastes.status, 'drawn');
  assert.deepEqual(tastes.guests, ['ada', 'ben', 'cleo']);
  assert.deepEqual(tastes.closest[0], { guest: 'ada', closest: 'ben', distance: 0 });
  const [ada, ben, cleo] = tastes.layout;
  assert.ok(Math.hypot(ada.x - ben.x, ada.y - ben.y) < 1e-9);
  assert.ok(Math.abs(Math.hypot(ada.x - cleo.x, ada.y - cleo.y) - tastes.distances[0][2]) < 1e-9);
});

test('the map says what is missing', () => {
  const status = (likings) => tableSummary(tableOf(likings)).tastes.status;
  assert.equal(status({ ada: [1, 2, 3], ben: [1, 2, 3] }), 'too_few_guests');
  assert.equal(status({ ada: [1, 2], ben: [1, 2], cleo: [1, 3] }), 'too_few_glasses');
});

test('sixty guests are tested by chi-square and all drawn', () => {
  const likings = Object.fromEntries(
    Array.from({ length: 60 }, (_, guest) => [
      `g${guest}`,
      Array.from({ length: 7 }, (__, at) => 1 + ((guest * 7 + at * at * 5) % 9)),
    ]),
  );
  const found = tableSummary(tableOf(likings));
  assert.equal(found.ranking.method, 'chi_square');
  assert.equal(found.tastes.layout.length, 60);
});

test('own words are listed, what stands out is counted', () => {
  const noted = {
    ada: { words: 'zest', standout: ['acidity', 'oak'], bitterness: 3 },
    ben: { words: ' ', standout: ['oak'] },
    cleo: { words: 'apples' },
  };
  const table = tableOf({ ada: [5], ben: [5], cleo: [5] }, { fields: (guest) => noted[guest] });
  const [glass] = tableSummary(table).glasses;
  assert.deepEqual(glass.texts, [
    { guest: 'cleo', text: 'apples' },
    { guest: 'ada', text: 'zest' },
  ]);
  assert.deepEqual(glass.choices.standout, [
    { value: 'oak', guests: ['ada', 'ben'] },
    { value: 'acidity', guests: ['ada'] },
  ]);
  assert.equal(glass.lines.bitterness.median, 3);
});
