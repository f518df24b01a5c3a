import assert from 'node:assert/strict';
import test from 'node:test';
import { current, emptyAnswer, noted, received, unsent, valuesOf } from '../../static/domain/guest/answers.js';
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
