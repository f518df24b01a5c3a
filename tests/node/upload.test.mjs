import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { timing } from '../../static/config.js';
import { db } from '../../static/store/database.js';
import { findPhoto } from '../../static/photos/photos.js';
import { retryOverQuota, uploadPhotos } from '../../static/photos/upload.js';
import { emptyBook, json, serve, setTiming, someId, until } from './support.mjs';

const BYTES = 500_000;
const platformTimeout = setTimeout;
const LIMIT_MS = 2 * 30_000 + BYTES;

beforeEach(async () => {
  await emptyBook();
  setTiming({ request_timeout_ms: 30_000, byte_ms: 1 });
  mock.timers.enable({ apis: ['setTimeout'] });
});
afterEach(() => mock.timers.reset());

/** @returns {Promise<string>} the id of a photo that waits to be sent */
async function unsentPhoto() {
  const id = someId();
  const bytes = new Uint8Array(BYTES).buffer;
  await db.photo_bytes.put({
    id,
    bytes,
    media_type: 'image/jpeg',
    state: 'unsent',
    errors: null,
    tries: 0,
    not_before_ms: 0,
  });
  return id;
}

/** @returns {any} what was asked of a server that answers when told to, and `answer(id)` */
function slowServer() {
  /** @type {(id: string) => void} */
  let answer;
  const asked = serve(
    (_, { signal }) =>
      new Promise((go, fail) => {
        answer = (id) => go(json({ id }));
        signal.addEventListener('abort', () => fail(signal.reason));
      }),
  );
  return { asked, answer: (id) => answer(id) };
}

test('a large photo has a second for each kilobyte', async () => {
  setTiming({ request_timeout_ms: 10, byte_ms: 1 });
  const id = await unsentPhoto();
  const { asked, answer } = slowServer();
  const ended = uploadPhotos();
  await until(() => asked.length === 1);
  mock.timers.tick(BYTES - 1);
  // A fixed limit, kept by a timer of the platform, would have ended by then.
  await new Promise((go) => {
    platformTimeout(go, 4 * timing.request_timeout_ms);
  });
  assert.equal(asked[0]?.init.signal.aborted, false);
  answer(id);
  await ended;
  assert.equal((await db.photo_bytes.get(id)).state, 'sent');
});

test('a photo without an answer in that time is tried again', async () => {
  const id = await unsentPhoto();
  const { asked } = slowServer();
  const ended = uploadPhotos();
  await until(() => asked.length === 1);
  mock.timers.tick(LIMIT_MS);
  assert.ok((await ended) > 0);
  const row = await db.photo_bytes.get(id);
  assert.deepEqual([row.state, row.tries], ['unsent', 1]);
});

test('an answer whose body never ends counts as none', async () => {
  const id = await unsentPhoto();
  const asked = serve((_, { signal }) => {
    const body = new ReadableStream({
      start: (stream) => signal.addEventListener('abort', () => stream.error(signal.reason)),
    });
    return new Response(body, { headers: { 'Content-Type': 'application/json' } });
  });
  const ended = uploadPhotos();
  await until(() => asked.length === 1);
  mock.timers.tick(LIMIT_MS);
  await ended;
  assert.equal((await db.photo_bytes.get(id)).tries, 1);
});

test('a photo that found no room is sent again', async () => {
  for (const code of ['too_many_photos', 'too_many_photo_bytes', 'not_picture']) {
    const id = await unsentPhoto();
    await db.photo_bytes.update(id, { state: 'refused', errors: { photo: [{ code }] } });
  }
  await retryOverQuota();
  const states = (await db.photo_bytes.toArray()).map(({ state }) => state);
  assert.deepEqual(states, ['unsent', 'unsent', 'refused']);
});

test('a photo is unsent only if the server says so', async () => {
  const type = { 'Content-Type': 'application/problem+json' };
  serve(() => new Response('{"code": "no_photo"}', { status: 404, headers: type }));
  assert.deepEqual(await findPhoto(someId()), { blob: null, isUnsent: true });
  serve(() => new Response('<p>Welcome', { status: 404, headers: { 'Content-Type': 'text/html' } }));
  assert.deepEqual(await findPhoto(someId()), { blob: null, isUnsent: false });
});
