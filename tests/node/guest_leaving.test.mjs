// Leaving: the phone forgets the table, and says that answers are deleted only if the server has deleted them.
import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import { leaveTable } from '../../static/domain/guest/join_table.js';
import { startLink } from '../../static/domain/guest/guest_link.js';
import { keepNote, putSeat, readAnswers, readSeat } from '../../static/domain/guest/guest_store.js';
import { openSeat, seat as openedSeat } from '../../static/domain/guest/seat_state.js';
import { A, FakeServer, seatAt, TABLE, until } from './guest_server.mjs';

let server = new FakeServer();

beforeEach(() => {
  server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
});

/** @param {any} state @param {boolean} forget */
async function leave(state, forget) {
  const seat = { ...seatAt(), state };
  await putSeat(seat);
  await leaveTable(seat, { forget });
  assert.equal(await readSeat(TABLE), undefined);
}

test('answers are deleted by the server after the end, too', async () => {
  await leave('over', true);
  assert.equal(server.is.ended, 'forgotten');
});

test('a phone may leave a tasting that is over without a network', async () => {
  server.is.down = true;
  await leave('over', false);
  await leave('removed', false);
  await assert.rejects(leave('over', true), { code: 'no_network' });
  await assert.rejects(leave('in', false), { code: 'no_network' });
  assert.ok(await readSeat(TABLE));
});

test('a guest whose first request was lost has left', async () => {
  for (const forget of [true, false]) {
    server.is = { down: false, losing: true, ended: '' };
    await assert.rejects(leave('in', forget), { code: 'no_network' });
    server.is.losing = false;
    await leave('in', forget);
  }
});

test('a deletion that the server refuses is not claimed', async () => {
  for (const reason of ['removed', 'ended', 'left', 'unknown']) {
    server.is.ended = reason;
    await assert.rejects(leave('over', true), { code: 'guest_ended' });
    assert.ok(await readSeat(TABLE));
    await leave('in', false);
  }
});

test('answers that were not sent are sent before leaving', async () => {
  const seat = { ...seatAt(), consent: { agreed: true, ms: 1, isSent: false } };
  await putSeat(seat);
  await keepNote({ table: TABLE, glass: A, field: 'liking', value: 7, ms: 5 });
  server.is.down = true;
  await assert.rejects(leaveTable(seat, { forget: false }), { code: 'no_network' });
  assert.equal((await readAnswers(TABLE)).length, 1);
  server.is.down = false;
  await leaveTable(seat, { forget: false });
  assert.deepEqual(server.sheets, { [A]: { liking: 7 } });
  assert.equal(server.consents.length, 1);
  assert.deepEqual(server.requests, [`PUT ${A}`, 'PUT consent', 'POST leave']);
});

test('who deletes the answers sends none before', async () => {
  await putSeat(seatAt());
  await keepNote({ table: TABLE, glass: A, field: 'liking', value: 7, ms: 5 });
  await leave('in', true);
  assert.deepEqual(server.requests, ['POST leave']);
  assert.deepEqual(await readAnswers(TABLE), []);
});

test('a deletion that a reload cut short ends at the next start', async () => {
  await putSeat(seatAt());
  await keepNote({ table: TABLE, glass: A, field: 'liking', value: 7, ms: 5 });
  server.is.ended = 'forgotten';
  await openSeat(TABLE);
  let times = 0;
  const link = startLink(TABLE, () => {
    times += 1;
  });
  await until(() => times);
  link.stop();
  assert.equal(openedSeat.value, null);
  assert.equal(await readSeat(TABLE), undefined);
  assert.deepEqual(await readAnswers(TABLE), []);
});
