import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import { timestamp } from '../../static/lib/datetime.js';
import { toChange } from '../../static/store/outbox.js';
import { save } from '../../static/store/write.js';
import { buildRequest } from '../../static/sync/build_request.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { db } from '../../static/store/database.js';
import {
  DEVICE,
  NOW,
  OTHER,
  answerOf,
  at,
  emptyBook,
  freshServer,
  recordOf,
  requestOf,
  setTiming,
  someId,
  unsentOf,
  useEmptyBook,
} from './support.mjs';

useEmptyBook();

const applied = ({ sent }) => sent.map(({ id }) => ({ id, outcome: 'applied' }));
const server = () => db.meta.get('server');
const clock = () => db.meta.get('clock');

/** @param {Record<string, [unknown, string]>} said @param {any} [more] */
async function unsent(said, more) {
  const row = unsentOf(someId(), said, more);
  await db.outbox.put(row);
  return row;
}

test('an edit made while its record is sent stays unsent', async () => {
  const id = someId();
  await save('bottle', id, { name: 'a', region: 'r' });
  const request = await buildRequest(10, 1_000);
  mock.timers.setTime(NOW + 5);
  await save('bottle', id, { name: 'b' });
  const { accepted } = await applyResponse(answerOf({ outcomes: applied(request) }), request);
  assert.equal(accepted, 1);
  const { fields, clocks } = await db.outbox.get(id);
  assert.deepEqual({ fields, clocks }, { fields: { name: 'b' }, clocks: { name: at(5) } });
});

test('a record that is only sent in part stays unsent', async () => {
  const id = someId();
  for (const [ms, name] of [
    [0, 'a'],
    [1, 'b'],
  ]) {
    mock.timers.setTime(NOW + Number(ms));
    await save('bottle', id, { name });
  }
  const request = await buildRequest(1, 1_000);
  await applyResponse(answerOf({ outcomes: applied(request) }), request);
  const { fields, earlier } = await db.outbox.get(id);
  assert.deepEqual([fields, earlier], [{ name: 'b' }, undefined]);
});

test('a request of another device drops no row at once', async () => {
  for (const stale of [{ device: OTHER }, { epoch: 'e0' }, { cursor: 3 }]) {
    const row = await unsent({ name: ['b', at(2)] });
    const request = requestOf({ ...stale, sent: [recordOf(row.id, { name: ['a', at(1)] })] });
    await applyResponse(answerOf({ outcomes: applied(request) }), request);
    assert.deepEqual(await db.outbox.get(row.id), row, JSON.stringify(stale));
  }
});

test('what was taken is dropped without reading it', async () => {
  const row = await unsent({ name: ['a', at(1)] });
  const request = requestOf({ sent: [toChange(row)] });
  const read = mock.method(Object.getPrototypeOf(db.Table.prototype), 'bulkGet');
  await applyResponse(answerOf({ outcomes: applied(request) }), request);
  assert.equal(read.mock.callCount(), 0);
  read.mock.restore();
  assert.equal(await db.outbox.count(), 0);
});

test('an answer tells what it moved', async () => {
  const row = await unsent({ place: ['a', at(1)] }, { kind: 'tasting' });
  const held = await unsent({ name: ['a', at(1)] }, { kind: 'visit' });
  const request = requestOf({ sent: [toChange(row), toChange(held)] });
  const changes = [recordOf(someId(), { name: ['b', at(2)] })];
  const found = await applyResponse(
    answerOf({
      changes,
      outcomes: [
        { id: row.id, outcome: 'applied' },
        { id: held.id, outcome: 'refused', errors: {} },
      ],
    }),
    request,
  );
  assert.deepEqual(
    { ...found, moved: [...found.moved].sort() },
    {
      moved: ['bottle', 'tasting', 'visit'],
      accepted: 1,
      rejected: 1,
      pulled: 1,
      restamped: false,
    },
  );
});

test('an answer moves the cursor on', async () => {
  await applyResponse(answerOf({ epoch: 'e2', token: 't2', cursor: 12 }), requestOf());
  assert.deepEqual(await server(), {
    ...freshServer(),
    epoch: 'e2',
    token: 't2',
    cursor: 12,
    last_synced: timestamp(),
  });
});

test('an example that is kept has the server’s time', async () => {
  const id = someId();
  const gone = { kind: 'tasting', deleted: true, deleted_clock: at(5, OTHER) };
  const removed = recordOf(id, { words: ['sample', at(1)], example: [true, at(1)] }, gone);
  const sent = [recordOf(id, { words: ['my own', at(2)] }, { kind: 'tasting' })];
  await applyResponse(answerOf({ now: NOW + 3_600_000, changes: [removed] }), requestOf({ sent }));
  assert.equal((await db.tasting.get(id))?.clocks.example, at(3_600_000));
});

test('an answer with more to come is not the last', async () => {
  await applyResponse(answerOf({ more: true, cursor: 5 }), requestOf());
  assert.deepEqual(
    [(await server()).last_synced, (await server()).cursor, (await server()).rewinding],
    [null, 5, false],
  );
});

test('an answer to an older question changes nothing', async () => {
  for (const stale of [{ device: OTHER }, { epoch: 'e0' }, { cursor: 3 }]) {
    const row = await unsent({ name: ['b', at(2)] });
    const told = recordOf(row.id, { name: ['b', at(2)] });
    const other = recordOf(someId(), { name: ['a', at(9)] });
    const answer = answerOf({ rewound: true, fork: true, cursor: 12, outcomes: applied({ sent: [told] }) });
    const found = await applyResponse({ ...answer, changes: [told, other] }, requestOf({ ...stale, sent: [told] }));
    // The server may have been restored since, and lack what it said here.
    assert.deepEqual(found, { moved: new Set(), accepted: 0, rejected: 0, pulled: 0, restamped: false });
    assert.deepEqual(await db.outbox.get(row.id), row, JSON.stringify(stale));
    assert.deepEqual([await server(), (await clock()).device], [undefined, DEVICE]);
    assert.equal(await db.bottle.get(other.id), undefined);
  }
});

test('the clock passes what the server shows', async () => {
  await emptyBook({ last: at(5) });
  await applyResponse(answerOf({ changes: [recordOf(someId(), { name: ['a', at(3)] })] }), requestOf());
  assert.deepEqual([(await clock()).last, (await server()).seen], [at(5), at(3)]);
  const { epoch, cursor } = await server();
  const next = requestOf({ epoch, cursor });
  await applyResponse(answerOf({ cursor, changes: [recordOf(someId(), { name: ['a', at(9)] })] }), next);
  assert.deepEqual([(await clock()).last, (await server()).seen], [at(9), at(9)]);
  await applyResponse(answerOf({ cursor, changes: [recordOf(someId(), { name: ['a', at(7)] })] }), next);
  assert.deepEqual([(await clock()).last, (await server()).seen], [at(9), at(9)]);
});

test('a clock that is far off is corrected', async () => {
  setTiming({ skew_ms: 1_000 });
  for (const [ms, offset_ms] of [
    [1_000, 0],
    [-1_000, 0],
    [1_001, 1_001],
    [-1_001, -1_001],
    [1_500.4, 1_500],
    [1_500.6, 1_501],
  ]) {
    await applyResponse(
      answerOf({ now: NOW + ms }),
      requestOf({ epoch: (await server())?.epoch ?? null, cursor: (await server())?.cursor ?? 0 }),
    );
    assert.equal((await clock()).offset_ms, offset_ms);
  }
  assert.deepEqual(await clock(), {
    name: 'clock',
    book: 'b'.repeat(20),
    device: DEVICE,
    last: null,
    offset_ms: 1_501,
    correction_ms: 0,
  });
});

test('a copied phone takes another name', async () => {
  await applyResponse(answerOf({ fork: true }), requestOf());
  const { device, book } = await clock();
  assert.match(device, /^[0-9a-f]{20}$/);
  assert.notEqual(device, DEVICE);
  assert.equal(book, 'b'.repeat(20));
});

test('a phone that is no copy keeps its name', async () => {
  await applyResponse(answerOf({ fork: false }), requestOf());
  assert.equal((await clock()).device, DEVICE);
});

test('a clock that is ahead gets the time of the server', async () => {
  setTiming({ skew_ms: 1_000 });
  await emptyBook({ last: at(600_000) });
  const row = await unsent({ name: ['a', at(600_000)] });
  await db.bottle.put({ ...recordOf(row.id, { name: ['a', at(600_000)] }), gone: 0 });
  const request = requestOf({ sent: [toChange(row)], last: at(600_000) });
  const { restamped } = await applyResponse(
    answerOf({ now: NOW - 60_000, outcomes: [{ id: row.id, outcome: 'restamp' }] }),
    request,
  );
  assert.equal(restamped, true);
  assert.deepEqual((await db.outbox.get(row.id)).clocks, { name: at(-60_000) });
  assert.equal((await clock()).last, at(-60_000));
});

test('fresh clocks pass what the server has shown', async () => {
  const row = await unsent({ name: ['a', at(600_000)] });
  await db.bottle.put({ ...recordOf(row.id, { name: ['a', at(600_000)] }), gone: 0 });
  await db.meta.put({ ...freshServer(), seen: at(40, OTHER) });
  const request = requestOf({ sent: [toChange(row)] });
  await applyResponse(answerOf({ outcomes: [{ id: row.id, outcome: 'restamp' }] }), request);
  assert.deepEqual((await db.outbox.get(row.id)).clocks, { name: at(40, DEVICE, 1) });
});

test('a server that was set back is read from its start', async () => {
  await emptyBook({}, { last_synced: 'before' });
  const record = recordOf(someId(), { name: ['a', at(1)] });
  await db.bottle.put({ ...record, gone: 0 });
  await db.photo_bytes.put({ id: 'p', state: 'sent', tries: 3, not_before_ms: 4 });
  await applyResponse(answerOf({ rewound: true, more: true, cursor: 0 }), requestOf());
  assert.deepEqual(await server(), {
    ...freshServer(),
    epoch: 'e1',
    token: 't1',
    rewinding: true,
    rewound_at: timestamp(),
    last_synced: 'before',
  });
  assert.deepEqual(await db.outbox.get(record.id), { ...unsentOf(record.id, {}), ...record });
  assert.deepEqual(await db.photo_bytes.get('p'), {
    id: 'p',
    state: 'unsent',
    was_sent: true,
    tries: 0,
    not_before_ms: 0,
  });
  const noticed = timestamp();
  mock.timers.setTime(NOW + 60_000);
  await applyResponse(answerOf({ more: true, cursor: 3 }), requestOf({ epoch: 'e1' }));
  assert.deepEqual([(await server()).rewinding, (await server()).rewound_at], [true, noticed]);
  await applyResponse(answerOf({ cursor: 4 }), requestOf({ epoch: 'e1', cursor: 3 }));
  assert.deepEqual(
    [(await server()).rewinding, (await server()).rewound_at, (await server()).last_synced],
    [false, noticed, timestamp()],
  );
});

test('an answer from before a rewind takes nothing from the outbox', async () => {
  for (const cursor of [0, 7]) {
    await emptyBook({}, { epoch: 'e1', token: 't0' });
    await db.outbox.put(unsentOf(someId(), { name: ['a', at(1)] }));
    const request = await buildRequest(9, 9);
    // Another tab has met the restored server meanwhile.
    await db.meta.update('server', { rewinding: true, cursor });
    const { accepted } = await applyResponse(answerOf({ outcomes: applied(request) }), request);
    assert.deepEqual([accepted, await db.outbox.count(), (await server()).seen], [0, 1, null]);
  }
});

test('an answer that fails leaves all as it was', async () => {
  const row = await unsent({ name: ['a', at(1)] });
  const request = requestOf({ sent: [toChange(row)] });
  await assert.rejects(
    applyResponse(
      answerOf({
        outcomes: applied(request),
        changes: [{ ...recordOf(someId(), {}), clocks: { a: 'x' }, kind: null, id: null }],
      }),
      request,
    ),
  );
  assert.deepEqual([await db.outbox.get(row.id), await server()], [row, undefined]);
});
