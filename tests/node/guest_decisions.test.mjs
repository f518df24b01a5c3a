// What a guest decides and types: the consent to be remembered, and own words that were not added.
import assert from 'node:assert/strict';
import test from 'node:test';
import { Sheet } from '../../static/components/layout/sheet.js';
import { linkPhase, startLink } from '../../static/domain/guest/guest_link.js';
import { readAnswers } from '../../static/domain/guest/guest_store.js';
import {
  answersByGlass,
  closeSeat,
  decideConsent,
  hasAgreed,
  hasSent,
  note,
  openSeat,
  seat,
  unsentCount,
  valuesOfGlass,
} from '../../static/domain/guest/seat_state.js';
import { ownNotes } from '../../static/domain/guest/take_away.js';
import { addTyped, keepTyped, typedOfGlass, typedText } from '../../static/domain/guest/typed_words.js';
import { RememberSheet } from '../../static/features/guest/remember_sheet.js';
import './english.mjs';
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

/** @param {any} node of a sheet @returns {any[]} its buttons, within components without state too */
function buttonsIn(node) {
  if (Array.isArray(node)) return node.flatMap(buttonsIn);
  if (!node?.props) return [];
  if (node.type === 'button') return [node];
  const isOpened = typeof node.type === 'function' && node.type !== Sheet;
  return buttonsIn(isOpened ? node.type(node.props) : node.props.children);
}

test('the second tap of a double tap never agrees', async () => {
  const agree = () => buttonsIn(RememberSheet({ open: true, onClose() {} }));
  for (const isAgreed of [false, true]) {
    await decideConsent(isAgreed);
    const [button, ...others] = agree();
    assert.equal(others.length, 0);
    assert.equal(button.props['data-once'], true);
  }
});

test('a server without consents still takes answers', async () => {
  table.server.knowsConsent = false;
  await decideConsent(true);
  await note(A, 'liking', 7);
  await until(() => table.server.sheets[A]?.liking === 7 && linkPhase.value === 'fresh');
});

test('nothing counts as sent before the guest has sent something', async () => {
  await until(() => linkPhase.value === 'fresh');
  assert.equal(hasSent.value, false);
  await note(A, 'liking', 7);
  await until(() => hasSent.value && unsentCount.value === 0);
  closeSeat();
  await openSeat(TABLE);
  assert.equal(hasSent.value, true);
});

test('a typed aroma is added with the time of its last letter', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'words', 'salt');
  keepTyped(A, 'first_nose_words', ' Rosé ');
  assert.equal(typedText(A, 'first_nose_words'), ' Rosé ');
  await wait(30);
  table.server.close('first_nose_words');
  await addTyped((glass) => glass === A);
  assert.equal(valuesOfGlass(A)['first_nose_words'], undefined);
  await addTyped(() => false);
  assert.deepEqual(valuesOfGlass(A)['first_nose_words'], ['rose']);
  assert.equal(typedText(A, 'first_nose_words'), '');
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets[A]?.first_nose_words, ['rose']);
});

test('half a typed word is kept on the phone only', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'first_nose_words', ['rose:2']);
  for (const text of ['tob', 'jamm', 'lemmon']) {
    keepTyped(A, 'first_nose_words', text);
    await addTyped(() => false);
    assert.equal(typedText(A, 'first_nose_words'), text);
    assert.deepEqual(typedOfGlass(A), { first_nose_words: `~${text}` });
  }
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets[A]?.first_nose_words, ['rose:2']);
  const open = /** @type {any} */ ({ view: { glasses: [{ id: A, position: 1 }] }, opened_ms: 1 });
  const [kept] = ownNotes(open, valuesOfGlass, answersByGlass(), typedOfGlass);
  assert.deepEqual(kept?.values['first_nose_words'], ['rose:2', '~lemmon']);
  keepTyped(A, 'first_nose_words', '');
  assert.deepEqual(typedOfGlass(A), {});
});

test('an aroma typed after the closing stays in the own notes', async () => {
  await until(() => seat.value?.clock);
  table.server.is.down = true;
  table.server.close('first_nose_words', 30_000);
  keepTyped(A, 'first_nose_words', 'rose');
  await addTyped(() => false);
  table.server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.equal(table.server.sheets[A], undefined);
  const [answer] = await readAnswers(TABLE);
  assert.deepEqual(answer?.late?.value, ['rose']);
});

test('a typed aroma joins the noted ones', async () => {
  await until(() => seat.value?.clock);
  keepTyped(A, 'first_nose_words', 'lemon');
  await note(A, 'first_nose_words', ['rose:2']);
  await addTyped(() => false);
  assert.deepEqual(valuesOfGlass(A)['first_nose_words'], ['rose:2', 'lemon']);
  keepTyped(A, 'first_nose_words', '  ');
  keepTyped(B, 'first_nose_words', 'lemon ');
  keepTyped(B, 'first_nose_words', '');
  await addTyped(() => false);
  assert.equal(valuesOfGlass(B)['first_nose_words'], undefined);
});

test('what an earlier release kept of typed words is read', () => {
  const kept = [
    { text: 'old', ms: 1 },
    { text: 'old barn', ms: 2 },
  ];
  localStorage.setItem(`secondnose_guest.typed.${TABLE}/${B}/sip_words`, JSON.stringify(kept));
  assert.equal(typedText(B, 'sip_words'), 'old barn');
  keepTyped(B, 'sip_words', '');
});
