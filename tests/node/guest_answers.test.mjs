import assert from 'node:assert/strict';
import test from 'node:test';
import {
  current,
  emptyAnswer,
  noted,
  received,
  toSendAgain,
  unsent,
  valuesOf,
} from '../../static/domain/guest/answers.js';
import { corrected, serverTime } from '../../static/domain/guest/clock.js';

const T0 = 1_790_000_000_000;

/** @param {[number, any][]} entries seconds and values */
function answerWith(...entries) {
  return entries.reduce(
    (answer, [s, value]) => noted(answer, { value, ms: T0 + s * 1_000 }),
    emptyAnswer('t', 'g', 'acidity'),
  );
}

test('the newest value of each field is sent, by glass', () => {
  const other = noted(emptyAnswer('t', 'h', 'liking'), { value: 7, ms: T0 });
  const sent = received(answerWith([0, 1]), T0, { stored: ['acidity'] });
  assert.deepEqual(
    [...unsent([answerWith([0, 3], [5, 4]), other, { ...sent, field: 'body' }])],
    [
      ['g', { fields: { acidity: 4 }, noted_ms: { acidity: T0 + 5_000 } }],
      ['h', { fields: { liking: 7 }, noted_ms: { liking: T0 } }],
    ],
  );
});

test('a received value is not sent again', () => {
  const answer = received(answerWith([0, 3]), T0, { stored: ['acidity'] });
  assert.equal(unsent([answer]).size, 0);
  assert.deepEqual(current(answer), { value: 3, ms: T0 });
});

test('a received value was not noted later than now', () => {
  const answer = received(answerWith([3_600, 3]), T0 + 3_600_000, { stored: ['acidity'], now_ms: T0 });
  assert.deepEqual(answer.accepted, { value: 3, ms: T0 });
  assert.equal(current(noted(answer, { value: 4, ms: T0 + 1 }))?.value, 4);
});

test('a value noted while another was under way is still to send', () => {
  const answer = received(answerWith([0, 3], [9, 4]), T0, { stored: ['acidity'] });
  assert.equal(unsent([answer]).get('g')?.fields['acidity'], 4);
});

test('a closed step keeps the last value noted before it closed', () => {
  const answer = received(answerWith([0, 1], [5, 2], [20, 3]), T0 + 20_000, { closed: { acidity: T0 + 10_000 } });
  assert.deepEqual(unsent([answer]).get('g'), { fields: { acidity: 2 }, noted_ms: { acidity: T0 + 5_000 } });
  assert.deepEqual(answer.late, { value: 3, ms: T0 + 20_000, closed_ms: T0 + 10_000 });
  const settled = received(answer, T0 + 5_000, { stored: ['acidity'] });
  assert.equal(current(settled)?.value, 2);
  assert.equal(settled.late?.value, 3);
});

test('a value noted after closing leaves the accepted one', () => {
  const before = received(answerWith([0, 1]), T0, { stored: ['acidity'] });
  const changed = noted(before, { value: 9, ms: T0 + 30_000 });
  const answer = received(changed, T0 + 30_000, { closed: { acidity: T0 + 10_000 } });
  assert.equal(current(answer)?.value, 1);
  assert.equal(answer.late?.value, 9);
  assert.equal(unsent([answer]).size, 0);
});

test('a value at the moment of closing counts', () => {
  const answer = received(answerWith([0, 1], [10, 2], [11, 3]), T0 + 11_000, { closed: { acidity: T0 + 10_000 } });
  assert.equal(unsent([answer]).get('g')?.fields['acidity'], 2);
});

test('a refused value is kept with its error and not sent again', () => {
  const answer = received(answerWith([0, 99]), T0, { errors: { acidity: [{ code: 'too_large', bound: 10 }] } });
  assert.equal(answer.error, 'too_large');
  assert.equal(unsent([answer]).size, 0);
});

test('a response that does not name the field leaves it to send', () => {
  assert.equal(unsent([received(answerWith([0, 1]), T0, {})]).size, 1);
});

test('noting the same entry twice changes nothing', () => {
  const answer = answerWith([0, 1]);
  assert.equal(noted(answer, { value: 1, ms: T0 }), answer);
  const stored = received(answer, T0, { stored: ['acidity'] });
  assert.equal(noted(stored, { value: 1, ms: T0 }), stored);
});

test('quick values replace each other, slow ones stay', () => {
  const quick = noted(answerWith([0, 1]), { value: 2, ms: T0 + 100 });
  assert.deepEqual(
    quick.entries.map(({ value }) => value),
    [2],
  );
  const many = answerWith(...Array.from({ length: 200 }, (_, at) => /** @type {[number, number]} */ ([at, at])));
  assert.ok(many.entries.length <= 40);
  assert.equal(current(many)?.value, 199);
});

test('a removed value is sent as null', () => {
  assert.deepEqual(unsent([answerWith([0, 1], [5, null])]).get('g')?.fields, { acidity: null });
});

test('own values stand before what the server has', () => {
  assert.deepEqual(valuesOf({ acidity: 1, body: 5 }, [answerWith([0, 3])]), { acidity: 3, body: 5 });
});

test('the clock follows the quickest response', () => {
  const slow = corrected(null, 1_000, 3_000, 12_000);
  assert.equal(serverTime(slow, 5_000), 14_000);
  const quick = corrected(slow, 4_000, 4_020, 14_310);
  assert.equal(serverTime(quick, 5_000), 15_290);
  assert.equal(corrected(quick, 6_000, 8_000, 17_500), quick);
});

test('the clock follows a phone whose time was set', () => {
  const before = corrected(null, 1_000, 1_020, 11_010);
  const after = corrected(before, 3_600_000, 3_601_000, 21_000);
  assert.equal(serverTime(after, 3_601_000), 21_000);
});

test('an old correction yields to a newer one', () => {
  const before = corrected(null, 0, 10, 5);
  const after = corrected(before, 700_000, 701_000, 700_900);
  assert.equal(after?.offset_ms, -100);
});

test('a slow way never makes an answer later than it was', () => {
  // The clocks agree, and the server reads its own anywhere between the two ends of a slow exchange.
  for (const read of [1_000, 6_000, 21_000]) {
    assert.ok(serverTime(corrected(null, 1_000, 21_000, read), 30_000) <= 30_000);
  }
});

test('a response without a time changes nothing', () => {
  assert.equal(corrected(null, 0, 10, undefined), null);
  assert.equal(serverTime(null, 7), 7);
});

test('values three tenths of a second apart both stay', () => {
  const values = (/** @type {number} */ ms) =>
    noted(answerWith([0, 1]), { value: 2, ms: T0 + ms }).entries.map(({ value }) => value);
  assert.deepEqual([values(299), values(300)], [[2], [1, 2]]);
});

test('a value that another page noted before is put in order', () => {
  const answer = noted(answerWith([5, 2]), { value: 1, ms: T0 + 4_900 });
  assert.deepEqual(answer.entries, [
    { value: 1, ms: T0 + 4_900 },
    { value: 2, ms: T0 + 5_000 },
  ]);
});

test('of very many values the second is left out', () => {
  const entries = Array.from({ length: 41 }, (_, at) => /** @type {[number, number]} */ ([at, at]));
  const values = (/** @type {[number, number][]} */ some) => answerWith(...some).entries.map(({ value }) => value);
  assert.equal(values(entries.slice(0, 40)).length, 40);
  assert.deepEqual(values(entries).slice(0, 3), [0, 2, 3]);
});

test('a value that is older than the accepted one is not noted', () => {
  const accepted = received(answerWith([5, 2]), T0 + 5_000, { stored: ['acidity'] });
  assert.equal(noted(accepted, { value: 1, ms: T0 }), accepted);
});

test('a new value takes the error and the delay away', () => {
  const refused = received(answerWith([0, 99]), T0, { errors: { acidity: { code: 'too_large' } } });
  assert.equal(refused.error, 'too_large');
  assert.equal(noted(refused, { value: 1, ms: T0 + 5_000 }).error, null);
  const late = received(answerWith([0, 1]), T0, { closed: { acidity: null } });
  assert.deepEqual([late.entries, late.late], [[], { value: 1, ms: T0, closed_ms: null }]);
  assert.equal(noted(late, { value: 1, ms: T0 + 5_000 }).late, null);
});

test('a refusal without a code is told, too', () => {
  for (const errors of [{ acidity: [] }, { acidity: null }, { acidity: [{}] }])
    assert.equal(received(answerWith([0, 1]), T0, { errors }).error, 'invalid');
});

test('a response to a value that is gone changes nothing', () => {
  const answer = answerWith([0, 1]);
  assert.equal(received(answer, T0 + 1, { stored: ['acidity'] }), answer);
});

test('a value of the server stands where the phone has none', () => {
  assert.deepEqual(valuesOf({ acidity: 1 }, [emptyAnswer('t', 'g', 'acidity')]), { acidity: 1 });
  assert.deepEqual(valuesOf(undefined, []), {});
  assert.equal(current(emptyAnswer('t', 'g', 'acidity')), null);
});

test('a response that ended before it began has no time', () => {
  assert.equal(corrected(null, 10, 9, 5), null);
  const before = corrected(null, 0, 10, 5);
  assert.equal(corrected(before, 10, 9, 5), before);
  assert.equal(corrected(null, 10, 20, Number.NaN), null);
  assert.deepEqual(corrected(null, 10, 10, 15.6), { offset_ms: 6, way_ms: 0, at_ms: 10 });
  assert.equal(serverTime({ offset_ms: 5, way_ms: 0, at_ms: 0 }, 7.4), 12);
});

test('two clocks may drift by a second before one was set', () => {
  const before = corrected(null, 0, 100, 100);
  const later = (/** @type {number} */ offset) => corrected(before, 1_000, 1_200, 1_200 + offset)?.offset_ms;
  assert.deepEqual([later(1_100), later(1_101)], [0, 1_101]);
  assert.deepEqual([later(-1_200), later(-1_201)], [0, -1_201]);
});

test('a way as short is newer, and ten minutes are old', () => {
  const before = corrected(null, 0, 100, 100);
  assert.equal(corrected(before, 1_000, 1_100, 1_150)?.offset_ms, 50);
  const after = (/** @type {number} */ at) => corrected(before, at - 200, at, at + 50)?.offset_ms;
  assert.deepEqual([after(600_100), after(600_101)], [0, 50]);
});

test('an answer begins with nothing', () => {
  const ends = { entries: [], accepted: null, late: null, error: null };
  assert.deepEqual(emptyAnswer('t', 'g', 'acidity'), {
    id: 't/g/acidity',
    table: 't',
    glass: 'g',
    field: 'acidity',
    ...ends,
  });
});

test('the answers of a glass are sent together', () => {
  const body = noted(emptyAnswer('t', 'g', 'body'), { value: 4, ms: T0 });
  assert.deepEqual(
    [...unsent([answerWith([0, 1]), body])],
    [['g', { fields: { acidity: 1, body: 4 }, noted_ms: { acidity: T0, body: T0 } }]],
  );
});

test('of a closed step one value before and all later ones stay', () => {
  const answer = answerWith([0, 1], [5, 2], [12, 3], [20, 4], [30, 5]);
  const kept = (/** @type {number | null} */ closed) =>
    received(answer, T0 + 20_000, { closed: { acidity: closed } }).entries.map(({ value }) => value);
  assert.deepEqual([kept(T0 + 10_000), kept(T0 + 25_000), kept(null)], [[2, 5], [3, 5], [5]]);
});

test('a refused value keeps the rest of its answer', () => {
  const answer = answerWith([0, 1]);
  assert.deepEqual(received(answer, T0, { errors: { acidity: [{ code: 'c' }] } }), {
    ...answer,
    entries: [],
    error: 'c',
  });
});

test('a received value is sent again with its time', () => {
  const stored = received(answerWith([0, 1]), T0, { stored: ['acidity'] });
  const [first, second] = [
    { value: 1, ms: T0 },
    { value: 2, ms: T0 + 9_000 },
  ];
  assert.deepEqual(toSendAgain(noted(stored, second)), { ...stored, entries: [first, second], accepted: null });
  assert.deepEqual(toSendAgain(answerWith([0, 1])), answerWith([0, 1]));
});
