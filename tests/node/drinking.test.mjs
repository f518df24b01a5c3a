// Years to drink a bottle at home: the taster's own, else the usual span of the style.
import assert from 'node:assert/strict';
import test from 'node:test';
import { byUrgency, drinkingState, drinkingWindow, usualSpan } from '../../static/rules/serving/drinking.js';
import data from '../../static/spec/drinking.json' with { type: 'json' };
import styles from '../../static/spec/styles.json' with { type: 'json' };

const BAROLO = { style: 'red_barolo', vintage: 2016 };

test('every style has one usual span, from no later than by', () => {
  const listed = [...data.after_harvest, ...data.after_purchase].flatMap((span) => span.styles);
  assert.deepEqual(listed.toSorted(), styles.styles.map((style) => style.style_id).toSorted());
  for (const span of data.after_harvest) assert.ok(span.from_years <= span.by_years, span.styles[0]);
});

test('without a vintage the span counts from the purchase', () => {
  assert.deepEqual(usualSpan(BAROLO, '2022-05-01'), { from: 2022, by: 2041 });
  assert.deepEqual(usualSpan({ style: 'spk_champagne_brut' }, '2025-12-24'), { from: 2025, by: 2029 });
  assert.deepEqual(usualSpan({ style: 'frt_fino', vintage: 2010 }, '2025-12-24'), { from: 2025, by: 2026 });
});

test('a span is unknown without a style or a year to count from', () => {
  assert.deepEqual(usualSpan({ style: null, vintage: 2016 }, '2022-05-01'), { from: null, by: null });
  assert.deepEqual(usualSpan({ style: 'spk_champagne_brut' }, null), { from: null, by: null });
});

test('the years of the taster come before the usual span', () => {
  assert.deepEqual(drinkingWindow({ drink_from: 2030, drink_by: 2050 }, BAROLO), {
    from: 2030,
    by: 2050,
    basis: 'own',
  });
  assert.deepEqual(drinkingWindow({ drink_by: 2030 }, BAROLO), { from: 2022, by: 2030, basis: 'own' });
  assert.deepEqual(drinkingWindow({ drink_from: 2045 }, BAROLO), { from: 2045, by: null, basis: 'own' });
  assert.deepEqual(drinkingWindow({}, BAROLO), { from: 2022, by: 2041, basis: 'usual' });
  assert.deepEqual(drinkingWindow({}, {}), { from: null, by: null, basis: 'none' });
});

test('reversed years count as not entered', () => {
  assert.deepEqual(drinkingWindow({ drink_from: 2030, drink_by: 2020 }, BAROLO), {
    from: 2022,
    by: 2041,
    basis: 'usual',
  });
});

test('the state turns at the ends of the span', () => {
  const span = { from: 2022, by: 2030 };
  const states = [2021, 2022, 2028, 2029, 2030, 2031].map((year) => drinkingState(span, year));
  assert.deepEqual(states, ['early', 'ready', 'ready', 'soon', 'soon', 'past']);
  assert.equal(drinkingState({ from: null, by: null }, 2026), 'unknown');
  assert.equal(drinkingState({ from: 2020, by: null }, 2026), 'ready');
});

test('what to drink soon comes first, unknown years last', () => {
  const spans = [
    [null, null],
    [2040, 2050],
    [2030, 2060],
    [2020, 2035],
    [2020, 2030],
    [2020, 2026],
    [2010, 2020],
    [2020, null],
  ].map(([from, by]) => ({ from, by }));
  const sorted = spans
    .map((window) => ({ window, state: drinkingState(window, 2026) }))
    .toSorted(byUrgency)
    .map(({ window }) => [window.from, window.by]);
  assert.deepEqual(sorted, [
    [2010, 2020],
    [2020, 2026],
    [2020, 2030],
    [2020, 2035],
    [2020, null],
    [2030, 2060],
    [2040, 2050],
    [null, null],
  ]);
});
