// What a guest decides and types: the consent to be remembered, and own words that were not added.
import assert from 'node:assert/strict';
import test, { afterEach, beforeEach } from 'node:test';
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
import { A, B, sitDown, TABLE, until, wait } from './guest_server.mjs';

/** @type {import('./guest_server.mjs').FakeServer} */
let server;
/** @type {{ stop: () => void, wake: () => void }} */
let link;

beforeEach(async () => {
  ({ server, link } = await sitDown());
});

afterEach(() => {
  link.stop();
  closeSeat();
});

test('a consent is kept first, sent when possible, and withdrawn', async () => {
  await until(() => seat.value?.clock);
  server.is.down = true;
  await decideConsent(true);
  assert.equal(unsentCount.value, 1);
  link.stop();
  closeSeat();
  const open = await openSeat(TABLE);
  assert.ok(open && hasAgreed(open));
  server.is.down = false;
  link = startLink(TABLE);
  await until(() => unsentCount.value === 0);
  await decideConsent(false);
  await until(() => unsentCount.value === 0);
  assert.deepEqual(
    server.consents.map(({ agreed }) => agreed),
    [true, false],
  );
  assert.ok(server.consents[0].noted_ms < server.consents[1].noted_ms);
  assert.ok(Math.abs(server.consents[0].noted_ms - server.now()) < 60_000);
});

test('a server without consents still takes answers', async () => {
  server.knowsConsent = false;
  await decideConsent(true);
  await note(A, 'liking', 7);
  await until(() => server.sheets[A]?.liking === 7 && linkPhase.value === 'fresh');
});

test('a typed word is added with the time of its last letter', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'words', 'salt');
  keepTyped(A, 'first_nose_words', 'old barn');
  assert.equal(typedText(A, 'first_nose_words'), 'old barn');
  await wait(30);
  server.close('first_nose_words');
  await addTyped((glass) => glass === A);
  assert.equal(valuesOfGlass(A)['first_nose_words'], undefined);
  await addTyped(() => false);
  assert.deepEqual(valuesOfGlass(A)['first_nose_words'], ['~old barn']);
  assert.equal(typedText(A, 'first_nose_words'), '');
  await until(() => unsentCount.value === 0);
  assert.deepEqual(server.sheets[A]?.first_nose_words, ['~old barn']);
});

test('a word typed across the closing counts as far as it stood', async () => {
  await until(() => seat.value?.clock);
  server.is.down = true;
  keepTyped(A, 'first_nose_words', 'old');
  await wait(600);
  server.close('first_nose_words');
  await wait(30);
  keepTyped(A, 'first_nose_words', 'old barn');
  await addTyped(() => false);
  server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(server.sheets[A]?.first_nose_words, ['~old']);
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
