// The rows of the Shelf for company: everybody's forecast, who is doubtful, and the orders.
import assert from 'node:assert/strict';
import test from 'node:test';
import { scoreBottle } from '../../static/rules/palate/score.js';
import { ME } from '../../static/features/shelf/list/company_state.js';
import { shelfRows } from '../../static/features/shelf/list/shelf_rows.js';
import { companyKeys, sorted } from '../../static/features/shelf/list/sort.js';
import './english.mjs';
import { row, taster } from './shelf_records.mjs';

const STRENGTHS = { soft: 5, middle: 7, strong: 9 };
const OWN = taster({ intercept: 6 });
const COMPANY = [
  { id: ME, compact: OWN },
  { id: 'jo', compact: taster({ intercept: 4, slope: 1 }) },
  { id: 'ba', compact: taster({ intercept: 7, slope: -0.5 }) },
];

/** @param {any[]} company @param {Map<string, any[]>} [tastings] */
function rowsFor(company, tastings = new Map()) {
  const bottles = new Map(
    Object.entries(STRENGTHS).map(([id, label_abv]) => [id, row('bottle', id, { style: 'plain', label_abv })]),
  );
  const picks = Object.keys(STRENGTHS).map((bottle) => row('pick', `pick ${bottle}`, { bottle, state: 'open' }));
  const by = { preferred: { low: null, high: null }, compact: OWN, today: '2026-11-28', company };
  const rows = shelfRows({ picks, bottles, tastings }, by);
  return new Map(rows.map((each) => [each.bottle?.id ?? '', each]));
}

/** @param {Map<string, any>} rows @param {string} order */
const ordered = (rows, order) => sorted([...rows.values()], order).map(({ bottle }) => bottle?.id);
const about = (/** @type {number} */ value) => Math.round(value * 1000) / 1000;

test('the owner alone has no company in the rows', () => {
  for (const each of rowsFor([]).values()) assert.equal(each.company, null);
});

test('best match counts the rating that a row shows', () => {
  const rated = (/** @type {number} */ liking) => [row('tasting', `rated ${liking}`, { liking })];
  const unrated = row('tasting', 'unrated', { words: 'again' });
  const tastings = new Map([
    ['middle', [unrated, ...rated(5), ...rated(9)]],
    ['strong', rated(7)],
  ]);
  // The forecast of each is 6; the newest rating of a bottle stands for it.
  const rows = rowsFor([], tastings);
  assert.deepEqual(ordered(rows, 'liking'), ['strong', 'soft', 'middle']);
  assert.equal(about(rows.get('middle')?.score?.mean ?? 0), 6);
});

test('each person of the company has a forecast of each bottle', () => {
  const rows = rowsFor(COMPANY);
  for (const [bottle, likings] of Object.entries({ soft: [6, 4, 7], middle: [6, 6, 6], strong: [6, 8, 5] })) {
    const { members, found } = rows.get(bottle)?.company ?? {};
    assert.deepEqual(
      members?.map(({ id, score }) => [id, about(score.mean)]),
      [ME, 'jo', 'ba'].map((id, at) => [id, likings[at]]),
    );
    assert.equal(about(found?.mean ?? 0), about(likings.reduce((sum, each) => sum + each, 0) / 3));
    assert.equal(about(found?.least.mean ?? 0), Math.min(...likings));
  }
  assert.deepEqual(
    [rows.get('soft')?.company?.found.least.id, rows.get('strong')?.company?.found.least.id],
    ['jo', 'ba'],
  );
});

test('doubtful people come with the least convinced first', () => {
  const { found } = rowsFor(COMPANY).get('soft')?.company ?? {};
  assert.deepEqual(
    found?.doubtful.map(({ id }) => id),
    ['jo', ME],
  );
});

test('reasons that a palate does not know are not given', () => {
  const reasonsOf = (/** @type {any} */ known) => {
    const { members, found } =
      rowsFor([{ id: 'al', compact: taster({ slope: -1 }), known }]).get('strong')?.company ?? {};
    return [members?.[0]?.score.reasons.map(({ what }) => what), found?.doubtful[0]?.because?.what ?? null];
  };
  assert.deepEqual(reasonsOf({ alcohol: { known: true } }), [['alcohol'], 'alcohol']);
  assert.deepEqual(reasonsOf({ alcohol: { known: false } }), [[], null]);
});

test('orders for company differ in what they put first', () => {
  const [jo, ba] = [taster({ intercept: 4, slope: 1.1 }), taster({ intercept: 7, slope: -0.5 })];
  const rows = rowsFor([
    { id: 'jo', compact: jo },
    { id: 'ba', compact: ba },
  ]);
  assert.deepEqual(companyKeys, ['company_mean', 'company_least', 'company_all']);
  // On average the strong one is best, but it leaves one person out.
  assert.deepEqual(ordered(rows, 'company_mean'), ['strong', 'middle', 'soft']);
  assert.equal(ordered(rows, 'company_least')[0], 'middle');
  const chances = new Map([...rows].map(([id, { company }]) => [id, company?.found.all_like ?? 0]));
  const expected = [...chances.keys()].sort((one, other) => (chances.get(other) ?? 0) - (chances.get(one) ?? 0));
  assert.deepEqual(ordered(rows, 'company_all'), expected);
});

test('what the owner noted of a bottle moves only the owner', () => {
  const noted = new Map([['soft', [row('tasting', 't', { bottle: 'soft', body: 9 })]]]);
  const own = taster({ intercept: 6, slope: 0.5, spread: 1 });
  const company = [{ id: ME, compact: own }, ...COMPANY.slice(1)];
  const bottles = new Map([['soft', row('bottle', 'soft', { style: 'plain', label_abv: 5 })]]);
  const picks = [row('pick', 'p', { bottle: 'soft', state: 'open' })];
  const by = { preferred: { low: null, high: null }, compact: own, today: '2026-11-28', company };
  const [plain] = shelfRows({ picks, bottles, tastings: new Map() }, by);
  const [tasted] = shelfRows({ picks, bottles, tastings: noted }, by);
  const meansOf = (/** @type {any} */ each) =>
    each.company.members.map((/** @type {any} */ one) => about(one.score.mean));
  assert.ok(meansOf(tasted)[0] > meansOf(plain)[0]);
  assert.deepEqual(meansOf(tasted).slice(1), meansOf(plain).slice(1));
  assert.equal(meansOf(tasted)[0], about(scoreBottle(own, { style: 'plain', label_abv: 5, body: 9 }).mean));
});

test('a bottle of an unknown style is forecast for everybody too', () => {
  const picks = [row('pick', 'p', { bottle: 'x', state: 'open' })];
  const by = { preferred: { low: null, high: null }, compact: OWN, today: '2026-11-28', company: COMPANY };
  const [found] = shelfRows({ picks, bottles: new Map(), tastings: new Map() }, by);
  assert.equal(found?.company?.members.length, 3);
  for (const { score } of found?.company?.members ?? []) assert.ok(score.sd > 0);
});
