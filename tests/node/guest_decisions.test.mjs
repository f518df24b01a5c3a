// What a guest decides and types: the consent to be remembered, and own words that were not added.
import assert from 'node:assert/strict';
import test from 'node:test';
import { linkPhase, startLink } from '../../static/domain/guest/guest_link.js';
import { readAnswers } from '../../static/domain/guest/guest_store.js';
import {
  closeSeat,
  decideConsent,
  hasAgreed,
  note,
  openSeat,
  seat,
  unsentCount,
  valuesOfGlass,
} from '../../static/domain/guest/seat_state.js';
import { addTyped, keepTyped, typedText } from '../../static/domain/guest/typed_words.js';
import { A, B, TABLE, until, useSeat, wait } from './guest_server.mjs';

const table = useSeat();

test('a consent is kept first, sent when possible, and withdrawn', async () => {
  await until(() => seat.value?.clock);
  table.server.is.down = true;
  await decideConsent(true);
  assert.equal(unsentCount.value, 1);
  table.link.stop();
  closeSeat();
  const open = await openSeat(TABLE);
  assert.ok(open && hasAgreed(open));
  table.server.is.down = false;
  table.link = startLink(TABLE);
  await until(() => unsentCount.value === 0);
  await decideConsent(false);
  await until(() => unsentCount.value === 0);
  assert.deepEqual(
    table.server.consents.map(({ agreed }) => agreed),
    [true, false],
  );
  assert.ok(table.server.consents[0].noted_ms < table.server.consents[1].noted_ms);
  assert.ok(Math.abs(table.server.consents[0].noted_ms - table.server.now()) < 60_000);
});

test('a server without consents still takes answers', async () => {
  table.server.knowsConsent = false;
  await decideConsent(true);
  await note(A, 'liking', 7);
  await until(() => table.server.sheets[A]?.liking === 7 && linkPhase.value === 'fresh');
});

test('a typed word is added with the time of its last letter', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'words', 'salt');
  keepTyped(A, 'first_nose_words', 'old barn');
  assert.equal(typedText(A, 'first_nose_words'), 'old barn');
  await wait(30);
  table.server.close('first_nose_words');
  await addTyped((glass) => glass === A);
  assert.equal(valuesOfGlass(A)['first_nose_words'], undefined);
  await addTyped(() => false);
  assert.deepEqual(valuesOfGlass(A)['first_nose_words'], ['~old barn']);
  assert.equal(typedText(A, 'first_nose_words'), '');
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets[A]?.first_nose_words, ['~old barn']);
});

test('a word typed across the closing counts as far as it stood', async () => {
  await until(() => seat.value?.clock);
  table.server.is.down = true;
  keepTyped(A, 'first_nose_words', 'old');
  await wait(600);
  table.server.close('first_nose_words');
  await wait(30);
  keepTyped(A, 'first_nose_words', 'old barn');
  await addTyped(() => false);
  table.server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets[A]?.first_nose_words, ['~old']);
  const [answer] = await readAnswers(TABLE);
  assert.deepEqual(answer?.late?.value, ['~old barn']);
});

test('a typed word joins the noted ones', async () => {
  await until(() => seat.value?.clock);
  keepTyped(A, 'first_nose_words', 'old barn');
  await note(A, 'first_nose_words', ['rose:2']);
  await addTyped(() => false);
  assert.deepEqual(valuesOfGlass(A)['first_nose_words'], ['rose:2', '~old barn']);
  keepTyped(A, 'first_nose_words', '  ');
  keepTyped(B, 'first_nose_words', 'old barn ');
  keepTyped(B, 'first_nose_words', '');
  await addTyped(() => false);
  assert.equal(valuesOfGlass(B)['first_nose_words'], undefined);
});
