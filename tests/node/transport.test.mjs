import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import { gunzipSync } from 'node:zlib';
import { authIssue } from '../../static/store/owner.js';
import { gzip } from '../../static/sync/gzip.js';
import { keyHeader } from '../../static/store/browser_key.js';
import { send } from '../../static/sync/transport.js';
import { db } from '../../static/store/database.js';
import { NOW, answerOf, at, emptyBook, json, recordOf, serve, setTiming } from './support.mjs';

beforeEach(async () => {
  setTiming({});
  authIssue.value = { other: null, ended: '' };
  await emptyBook();
});
afterEach(() => {
  mock.timers.reset();
  mock.restoreAll();
});

/** @param {Response} response */
function reply(response) {
  serve(() => response);
  return send('{}');
}

/** @param {any} body @param {number} [status] */
const replyJson = (body, status) => reply(json(body, status));
const page = (status, headers = {}) =>
  reply(new Response('<p>', { status, headers: { 'Content-Type': 'text/html', ...headers } }));

/** The header that every request has. */
const KEY = keyHeader();

test('a request follows no redirect and no cache', async () => {
  await db.meta.put({ name: 'owner', uid: 'o'.repeat(20), owner_name: 'Ada' });
  const asked = serve(() => json(answerOf()));
  await send('{"a":1}');
  const { signal, ...init } = asked[0].init;
  assert.equal(asked[0].url, '/api/sync');
  assert.deepEqual(init, {
    method: 'POST',
    redirect: 'error',
    cache: 'no-store',
    body: '{"a":1}',
    headers: {
      ...KEY,
      'Second-Nose-Owner': 'o'.repeat(20),
      'Content-Type': 'application/json',
      Accept: 'application/json',
    },
  });
  assert.match(KEY['Second-Nose-Key'], /^[0-9a-f]{64}$/);
  assert.equal(signal.aborted, false);
});

test('a long request is compressed', async () => {
  const asked = serve(() => json(answerOf()));
  const [short, long] = ['x'.repeat(999), 'x'.repeat(1_000)];
  await send(short);
  await send(long);
  assert.equal(asked[0].init.body, short);
  assert.deepEqual(asked[1].init.headers, {
    ...KEY,
    'Content-Type': 'application/json',
    Accept: 'application/json',
    'Content-Encoding': 'gzip',
  });
  assert.equal(gunzipSync(Buffer.from(asked[1].init.body)).toString(), long);
});

test('a browser that cannot compress sends plain text', async () => {
  const kept = globalThis.CompressionStream;
  delete globalThis.CompressionStream;
  try {
    const asked = serve(() => json(answerOf()));
    await send('x'.repeat(5_000));
    assert.equal(asked[0].init.body, 'x'.repeat(5_000));
  } finally {
    globalThis.CompressionStream = kept;
  }
});

test('a text of several pieces is compressed whole', async () => {
  for (const length of [0, 1, 128 * 1024, 128 * 1024 + 1, 400_000]) {
    const text = 'é'.repeat(length);
    assert.equal(gunzipSync(Buffer.from(await gzip(text))).toString(), text);
  }
});

test('a text is compressed with pauses between its pieces', async () => {
  const pauses = mock.method(globalThis, 'setTimeout');
  const slices = mock.method(Blob.prototype, 'slice');
  await gzip('x'.repeat(2 * 128 * 1024));
  assert.equal(slices.mock.callCount(), 2);
  slices.mock.resetCalls();
  pauses.mock.resetCalls();
  await gzip('x'.repeat(2 * 128 * 1024 + 1));
  assert.deepEqual([pauses.mock.callCount(), slices.mock.callCount()], [3, 3]);
  assert.deepEqual(
    slices.mock.calls.map(({ arguments: [from, to] }) => to - from),
    [131_072, 131_072, 131_072],
  );
});

test('answer timeout grows by a millisecond a byte', async () => {
  mock.timers.enable({ apis: ['setTimeout'] });
  serve(
    (_, { signal }) =>
      new Promise((_, fail) => {
        signal.addEventListener('abort', () => fail(signal.reason));
        mock.timers.tick(30_001);
        assert.equal(signal.aborted, false);
        mock.timers.tick(1);
      }),
  );
  assert.deepEqual(await send('{}'), { kind: 'late' });
});

test('answer timeout grows with the bytes that are sent', async () => {
  setTiming({ byte_ms: 3 });
  const set = mock.method(globalThis, 'setTimeout');
  const asked = serve(() => json(answerOf()));
  await send('{}');
  await send('x'.repeat(5_000));
  const bytes = asked[1].init.body.byteLength;
  assert.ok(bytes < 5_000);
  const timeouts = set.mock.calls.map(({ arguments: [, ms] }) => ms).filter((ms) => Number(ms) >= 30_000);
  assert.deepEqual(timeouts, [30_000 + 3 * 2, 30_000 + 3 * bytes]);
});

test('an answer in time ends the waiting', async () => {
  const cleared = mock.method(globalThis, 'clearTimeout');
  const set = mock.method(globalThis, 'setTimeout');
  await replyJson(answerOf());
  const timer = set.mock.calls.find(({ arguments: [, ms] }) => ms === 30_002)?.result;
  assert.ok(timer && cleared.mock.calls.some(({ arguments: [one] }) => one === timer));
});

test('an answer of the right shape is the server', async () => {
  const answer = answerOf({ changes: [{ ...recordOf('one', { name: ['a', at(1)] }), seq: 1 }] });
  assert.deepEqual(await replyJson(answer), { kind: 'answer', answer });
});

test('an answer of another shape is not the server', async () => {
  const change = recordOf('one', {});
  const faults = [
    { epoch: 1 },
    { token: null },
    { cursor: 1.5 },
    { cursor: '1' },
    { now: null },
    { more: 0 },
    { rewound: null },
    { fork: 'no' },
    { outcomes: {} },
    { changes: {} },
    { changes: [null] },
    { changes: [{ ...change, kind: 1 }] },
    { changes: [{ ...change, id: null }] },
    { changes: [{ ...change, fields: null }] },
    { changes: [{ ...change, fields: 'x' }] },
    { changes: [{ ...change, clocks: null }] },
    { changes: [{ ...change, clocks: 1 }] },
    { changes: [change, {}] },
    { format: undefined },
    { format: '1' },
  ];
  for (const fault of faults) {
    assert.deepEqual(await replyJson(answerOf(fault)), { kind: 'no_network' }, JSON.stringify(fault));
  }
  assert.deepEqual(await replyJson(null), { kind: 'no_network' });
  const answer = answerOf();
  assert.deepEqual(await replyJson(answer, 404), { kind: 'answer', answer });
});

test('a page of a captive portal is not the server', async () => {
  for (const status of [200, 401, 403, 404, 409, 422])
    assert.deepEqual(await page(status), { kind: 'no_network' }, String(status));
  assert.deepEqual(await reply(new Response(null, { status: 200 })), { kind: 'no_network' });
  assert.deepEqual(await reply(new Response('{', { headers: { 'Content-Type': 'application/json' } })), {
    kind: 'no_network',
  });
});

test('only JSON that a sound status brings is the server', async () => {
  assert.deepEqual(await replyJson(answerOf(), 408), { kind: 'no_network' });
  assert.deepEqual(
    await reply(new Response(JSON.stringify(answerOf()), { headers: { 'Content-Type': 'text/html' } })),
    { kind: 'no_network' },
  );
});

test('a status says what to do', async () => {
  for (const [status, is] of [
    [413, 'too_big'],
    [408, 'no_network'],
    [502, 'no_network'],
    [504, 'no_network'],
    [500, 'failed'],
    [507, 'failed'],
  ]) {
    assert.deepEqual(await page(status), { kind: is }, String(status));
  }
  for (const [status, is] of [
    [400, 'failed'],
    [422, 'failed'],
    [426, 'update'],
    [401, 'signin'],
    [403, 'signin'],
  ]) {
    assert.deepEqual(await replyJson({}, status), { kind: is }, String(status));
    assert.deepEqual(await replyJson(null, status), { kind: is }, `${status} without a word`);
  }
  assert.deepEqual(await replyJson({ code: 'format' }, 400), { kind: 'update' });
});

test('an answer in another format asks for an update', async () => {
  assert.deepEqual(await replyJson(answerOf({ format: 2 })), { kind: 'update' });
  assert.deepEqual(await replyJson(answerOf({ format: 2.5 })), { kind: 'no_network' });
  assert.deepEqual(await replyJson({ format: 2 }, 404), { kind: 'no_network' });
});

test('somebody else signed in stands in the way', async () => {
  const owner = { uid: 'x', name: 'Ada' };
  assert.deepEqual(await replyJson({ code: 'other_owner', errors: { owner } }, 409), { kind: 'signin' });
  assert.deepEqual(authIssue.value, { other: owner, ended: '' });
  await replyJson({ code: 'other_owner' }, 409);
  assert.deepEqual(authIssue.value, { other: null, ended: '' });
});

test('a sign-in that has ended says why', async () => {
  for (const code of ['revoked', 'passphrase_changed', 'upgraded', 'erased']) {
    assert.deepEqual(await replyJson({ code }, 401), { kind: 'signin' });
    assert.deepEqual(authIssue.value, { other: null, ended: code });
    await replyJson({ code }, 400);
    assert.deepEqual(authIssue.value, { other: null, ended: '' });
  }
  await replyJson({ code: 'revoked' }, 403);
  assert.deepEqual(authIssue.value, { other: null, ended: 'revoked' });
  await replyJson({ code: 'sign_in' }, 401);
  assert.deepEqual(authIssue.value, { other: null, ended: '' });
});

test('a busy server names its time in seconds or as a date', async () => {
  const date = (ms) => new Date(NOW + ms).toUTCString();
  mock.timers.enable({ apis: ['Date'], now: NOW });
  for (const [said, wait_ms] of [
    ['7', 7_000],
    ['0', 0],
    ['999999', 300_000],
    [date(9_000), 9_000],
    [date(-9_000), 0],
    [date(10_000_000), 300_000],
    ['soon', 0],
    ['-5', 0],
    ['7s', 0],
    ['', 0],
  ]) {
    assert.deepEqual(await page(503, { 'Retry-After': said }), { kind: 'wait', wait_ms }, said);
  }
  assert.deepEqual(await page(429, { 'Retry-After': '7' }), { kind: 'wait', wait_ms: 7_000 });
  assert.deepEqual(await page(503), { kind: 'wait', wait_ms: 0 });
});

test('a lost network is no error', async () => {
  serve(() => {
    throw new TypeError('Failed to fetch');
  });
  assert.deepEqual(await send('{}'), { kind: 'no_network' });
});
