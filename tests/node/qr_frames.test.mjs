import assert from 'node:assert/strict';
import test from 'node:test';
import { base45, bytesOfBase45 } from '../../static/lib/base45.js';
import { collectFrames, documentOf, framesOf, readFrame } from '../../static/lib/qr_frames.js';
import { qrPath } from '../../static/lib/qr_draw.js';

/** A generator of reproducible numbers below `below` (mulberry32). @param {number} seed */
function numbers(seed) {
  let state = seed;
  return (/** @type {number} */ below) => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

/** @param {(below: number) => number} next @param {number} length */
function someBytes(next, length) {
  return Uint8Array.from({ length }, () => next(256));
}

/** @param {(below: number) => number} next @returns {any} a document like those that are exchanged */
function someDocument(next) {
  const word = () => String.fromCodePoint(...Array.from({ length: 1 + next(9) }, () => 97 + next(700)));
  const value = () => [word(), next(1_000) / 10, null, true, [word(), word()]][next(5)];
  return {
    kind: 'sheets',
    sheets: Array.from({ length: 1 + next(8) }, () =>
      Object.fromEntries(Array.from({ length: next(30) }, () => [word(), value()])),
    ),
  };
}

/** @template T @param {T[]} items @param {(below: number) => number} next @returns {T[]} */
function shuffled(items, next) {
  const order = items.map((item) => ({ item, by: next(1_000_000) }));
  return order.sort((one, other) => one.by - other.by).map(({ item }) => item);
}

test('base45 agrees with the examples of RFC 9285', () => {
  for (const [plain, text] of [
    ['AB', 'BB8'],
    ['Hello!!', '%69 VD92EX0'],
    ['base-45', 'UJCLQE7W581'],
    ['ietf!', 'QED8WEX0'],
  ]) {
    assert.equal(base45(new TextEncoder().encode(plain)), text);
    assert.equal(new TextDecoder().decode(/** @type {Uint8Array} */ (bytesOfBase45(String(text)))), plain);
  }
});

test('base45 returns any bytes and refuses what it never writes', () => {
  const next = numbers(1);
  for (let time = 0; time < 300; time += 1) {
    const bytes = someBytes(next, next(40));
    assert.deepEqual(bytesOfBase45(base45(bytes)), bytes);
  }
  // The last two are 65,536 and 256, one more than two bytes and one byte hold.
  for (const wrong of ['A', 'ab', 'BB8B', 'É00', ':::', 'GGW', 'V5']) assert.equal(bytesOfBase45(wrong), null, wrong);
  assert.deepEqual(bytesOfBase45('FGW'), Uint8Array.of(255, 255));
});

test('frames in any order with duplicates give the document', async () => {
  const next = numbers(2);
  for (let time = 0; time < 60; time += 1) {
    const document = someDocument(next);
    const frames = await framesOf(document, 20 + next(200));
    const shown = shuffled([...frames, ...frames, ...frames], next);
    const collected = collectFrames();
    const seen = new Set();
    for (const text of shown) {
      const before = seen.size === frames.length;
      seen.add(text);
      const progress = collected.add(text);
      assert.equal(progress?.have, seen.size);
      assert.equal(progress?.count, frames.length);
      assert.equal(progress?.bytes !== null, seen.size === frames.length);
      if (progress?.bytes && !before) assert.deepEqual(await documentOf(progress.bytes), document);
    }
    assert.equal(seen.size, frames.length);
  }
});

test('a damaged frame is refused and changes nothing', async () => {
  const next = numbers(3);
  const alphabet = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';
  const frames = await framesOf(someDocument(next), 40);
  const collected = collectFrames();
  collected.add(String(frames[0]));
  for (let time = 0; time < 500; time += 1) {
    const text = String(frames[next(frames.length)]);
    const at = next(text.length);
    const other = alphabet[next(45)];
    const damaged = [
      text.slice(0, at) + other + text.slice(at + 1),
      text.slice(0, at),
      text.slice(0, at) + text.slice(at + 1),
    ][next(3)];
    if (damaged !== text) assert.equal(collected.add(String(damaged)), null);
  }
  assert.equal(collected.add(String(frames[0]))?.have, 1);
});

test('texts of other codes are not frames', () => {
  for (const text of ['', 'SN1:', 'https://example.org/#/guest/abc', 'WIFI:S:x;;', 'SN2:00', '4006381333931']) {
    assert.equal(readFrame(text), null, text);
  }
});

test('frames of two documents do not mix', async () => {
  const next = numbers(4);
  const [one, other] = [await framesOf(someDocument(next), 30), await framesOf(someDocument(next), 30)];
  const collected = collectFrames();
  const complete = shuffled([...one, ...other], next)
    .map((text) => collected.add(text)?.bytes)
    .filter((bytes) => bytes);
  assert.equal(complete.length, 2);
});

test('a document is inflated up to a limit only', async () => {
  const frames = await framesOf('0'.repeat(600_000));
  const collected = collectFrames();
  const [bytes] = frames.map((text) => collected.add(text)?.bytes).filter((each) => each);
  await assert.rejects(documentOf(/** @type {Uint8Array} */ (bytes)), { code: 'unreadable' });
});

test('bytes that are no document are unreadable', async () => {
  await assert.rejects(documentOf(Uint8Array.of(1, 2, 3)), { code: 'unreadable' });
});

test('a document that needs too many frames is refused', async () => {
  const next = numbers(5);
  await assert.rejects(framesOf(base45(someBytes(next, 40_000))), { code: 'too_large' });
});

test('a full frame is an alphanumeric code of 57 modules', async () => {
  const next = numbers(6);
  const [frame] = await framesOf(base45(someBytes(next, 2_000)));
  assert.equal(qrPath(String(frame)).size, 57 + 8);
});
