// What the Shelf reads of a bottle's record for its forecast, beside the style.
import assert from 'node:assert/strict';
import test from 'node:test';
import { FIXED_POINT } from '../../static/rules/palate/score.js';
import { shelfRows } from '../../static/features/shelf/list/shelf_rows.js';

/** Likes sweetness by one point for each of its scale, nothing else. */
const SWEET_TOOTH = {
  attributes: ['sweetness', 'acidity'],
  beta: [5 * FIXED_POINT, Math.SQRT2 * FIXED_POINT, 0, 0, 0],
  cov: Array.from({ length: 15 }, () => 0),
  profiles: { plain: [0, 0, 0, 100, 100] },
  families: {
    'white|sweet': [-1, 200, 0, 100, 100],
    'white|': [-1, 50, 0, 100, 100],
    '|sweet': [-1, 300, 0, 100, 100],
  },
  style_effects: {},
  group_effects: {},
  stranger_var: 0,
  noise_var: 1,
  liked_line: 6.5,
  centre: [3, 6],
  scale: [1, 1],
  perception: { noise: 1, bias: [0, 0], gain: [1, 1], bias_var: [0, 0], cross: [0, 0], gain_var: [0, 0] },
  printed: null,
  analysis: {
    ...{ sweetness: 0, acidity: 1, sugar_factor: 1.9, half_sugar_gl: 3, usual_acidity_gl: 6, most_hidden: 0.5 },
    ...{ acidity_gl: [2, 10], acidity_points: [0, 10], sweetness_spread: 1, acidity_spread: 1, high: 10 },
  },
};

/** @param {string} kind @param {string} id @param {Record<string, any>} fields @returns {any} */
const row = (kind, id, fields) => ({ kind, id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/** @param {Record<string, any>} fields @param {any[]} [before] @returns {number} expected liking */
function expected(fields, before = []) {
  const shelf = {
    picks: [row('pick', 'p', { bottle: 'b', state: 'open' })],
    bottles: new Map([['b', row('bottle', 'b', fields)]]),
    tastings: new Map([['b', before]]),
  };
  const by = { preferred: { low: null, high: null }, compact: SWEET_TOOTH, today: '2026-11-28' };
  const [found] = shelfRows(shelf, by);
  return Math.round((found?.score?.mean ?? 0) * 100) / 100;
}

test('colour and kind stand in for a style', () => {
  assert.equal(expected({}), 5);
  assert.equal(expected({ colour: 'white', kind: 'sweet' }), 7);
  assert.equal(expected({ colour: 'white', kind: 'still' }), 5.5);
  assert.equal(expected({ kind: 'sweet' }), 8);
  assert.equal(expected({ style: 'plain', colour: 'white', kind: 'sweet' }), 5);
});

test('a colour seen in the glass stands in for that of the label', () => {
  const seen = [row('tasting', 't', { bottle: 'b', look_colour: 'white', acidity: 6 })];
  assert.equal(expected({}, seen), 5.5);
  assert.equal(expected({ colour: 'red' }, seen), 5);
});

test('sugar counts, the less of it the more acidity', () => {
  const dry = expected({ style: 'plain', residual_sugar_gl: 0 });
  const sweet = expected({ style: 'plain', residual_sugar_gl: 60 });
  const balanced = expected({ style: 'plain', residual_sugar_gl: 60, total_acidity_gl: 12 });
  assert.ok(dry < 5 && sweet > 5.5, `${dry} ${sweet}`);
  assert.ok(balanced < sweet && balanced > 5, String(balanced));
});

test('a hidden label tells nothing', () => {
  assert.equal(expected({ covered: true, colour: 'white', kind: 'sweet', residual_sugar_gl: 90 }), 5);
});
