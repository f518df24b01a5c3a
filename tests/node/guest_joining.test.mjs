// Joining again: the former seat and what was noted there outlive a failed attempt and a removal.
import assert from 'node:assert/strict';
import { beforeEach, mock, test } from 'node:test';
import {
  isSeatedAt,
  joinByCodes,
  joinTable,
  leaveTable,
  seatOfInvitation,
} from '../../static/domain/guest/join_table.js';
import {
  changeSeat,
  forgetSeat,
  putSeat,
  readAnswers,
  readFormer,
  readSeat,
  readSeats,
} from '../../static/domain/guest/guest_store.js';
import {
  closeSeat,
  decideConsent,
  note,
  openSeat,
  seat,
  unsentCount,
  valuesOfGlass,
} from '../../static/domain/guest/seat_state.js';
import { startLink } from '../../static/domain/guest/guest_link.js';
import { A, B, FakeServer, seatAt, TABLE, until } from './guest_server.mjs';

const INVITATION = { code: 'K7M2QX' };
const LOOK = /** @type {any} */ ({ group_tasting: TABLE });

let server = new FakeServer();

beforeEach(async () => {
  for (const { table } of await readSeats()) await forgetSeat(table);
  await forgetSeat(TABLE);
  server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
});

/** Sit at the table, note something that the server has, and be removed. @param {any} [state] */
async function beRemoved(state = 'removed') {
  await putSeat(seatAt());
  await openSeat(TABLE);
  const link = startLink(TABLE);
  await note(A, 'liking', 7);
  await until(() => unsentCount.value === 0 && seat.value?.etag === `"${server.version}"`);
  link.stop();
  closeSeat();
  await putSeat({ ...seatAt(), state, taken: [B] });
  assert.equal(server.sheets[A].liking, 7);
  server.sheets = {};
  server.noted = {};
}

test('an invitation leads to the seat that it gave', async () => {
  const seatOf = async (/** @type {any} */ invitation) => (await seatOfInvitation(invitation))?.table;
  await putSeat({ ...seatAt(), invitation: { secret: 's', code: 'K7M2QX' } });
  assert.deepEqual([await seatOf({ secret: 's' }), await seatOf(INVITATION)], [TABLE, TABLE]);
  assert.deepEqual([await seatOf({ secret: 'x' }), await seatOf({})], [undefined, undefined]);
  // To have tried is not to have joined.
  await putSeat({ ...seatAt(), state: 'joining' });
  assert.equal(await seatOf({ secret: 's' }), undefined);
});

test('a failed attempt to join again leaves seat and notes', async () => {
  await beRemoved();
  server.is.down = true;
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'));
  const kept = await readSeat(TABLE);
  assert.deepEqual([kept?.state, kept?.guest.id, kept?.token], ['removed', 'g', 'token']);
  assert.equal((await readAnswers(TABLE)).length, 1);
});

test('a repeated attempt to join again is the same guest', async () => {
  await beRemoved();
  server.is.losing = true;
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'));
  server.is.losing = false;
  await joinTable(INVITATION, LOOK, 'Ada');
  const [first, second] = server.joins;
  assert.deepEqual([first.guest, first.key], [second.guest, second.key]);
  assert.notEqual(first.guest, 'g');
});

test('who joins again keeps the notes, and sends them', async () => {
  await beRemoved();
  await joinTable(INVITATION, LOOK, 'Ada');
  const joined = await readSeat(TABLE);
  assert.deepEqual([joined?.state, joined?.next, joined?.taken], ['in', undefined, [B]]);
  await openSeat(TABLE);
  assert.deepEqual(valuesOfGlass(A), { liking: 7 });
  const link = startLink(TABLE);
  await until(() => server.sheets[A]?.liking === 7);
  link.stop();
  closeSeat();
});

test('who left takes the seat again under the same name', async () => {
  await putSeat({ ...seatAt(), given: 'Ada', guest: { id: 'g', name: 'Ada P.', number: 1 }, taken: [B] });
  await leaveTable(/** @type {any} */ (await readSeat(TABLE)), { forget: false });
  server.is.ended = '';
  await joinTable(INVITATION, LOOK, ' ada');
  assert.deepEqual([server.joins.at(-1).guest, server.joins.at(-1).key], ['g', seatAt().key]);
  assert.deepEqual((await readSeat(TABLE))?.taken, [B]);
  assert.equal(await readFormer(TABLE), undefined);
});

test('who left and joins by codes is the same guest', async () => {
  await joinByCodes({ table: { id: TABLE } }, 'Ada');
  const first = /** @type {any} */ (await readSeat(TABLE));
  await leaveTable(first, { forget: false });
  await joinByCodes({ table: { id: TABLE } }, 'Ada');
  assert.equal((await readSeat(TABLE))?.guest.id, first.guest.id);
});

test('another name on the phone of who left is another guest', async () => {
  await putSeat(seatAt());
  await leaveTable(seatAt(), { forget: false });
  server.is = { down: false, losing: true, ended: '' };
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'));
  server.is.losing = false;
  await joinTable(INVITATION, LOOK, 'Ben');
  const [ada, ben] = server.joins.slice(-2);
  assert.equal(ada.guest, 'g');
  assert.notEqual(ben.guest, 'g');
});

test('who had all deleted is not known any more', async () => {
  await putSeat(seatAt());
  await leaveTable(seatAt(), { forget: true });
  server.is.ended = '';
  await joinTable(INVITATION, LOOK, 'Ada');
  assert.notEqual(server.joins.at(-1).guest, 'g');
});

test('who left long ago is not remembered', async () => {
  await putSeat(seatAt());
  await leaveTable(seatAt(), { forget: false });
  mock.timers.enable({ apis: ['Date'], now: Date.now() + 31 * 86_400_000 });
  const later = await readFormer(TABLE);
  mock.timers.reset();
  assert.equal(later, undefined);
  assert.equal(await readFormer(TABLE), undefined);
});

test('who left begins without notes', async () => {
  await beRemoved('left');
  await joinTable(INVITATION, LOOK, 'Ada');
  assert.deepEqual(await readAnswers(TABLE), []);
  assert.deepEqual([server.joins.at(-1).guest, (await readSeat(TABLE))?.taken], ['g', [B]]);
});

test('after a removal during the joining another guest joins', async () => {
  await beRemoved();
  server.is.losing = true;
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'));
  server.is.losing = false;
  server.is.ended = 'removed';
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'), { code: 'guest_ended' });
  server.is.ended = '';
  await joinTable(INVITATION, LOOK, 'Ada');
  assert.notEqual(server.joins.at(-1).guest, server.joins[0].guest);
});

test('codes seat a phone that could not join by the network', async () => {
  server.is.down = true;
  await assert.rejects(joinTable(INVITATION, LOOK, 'Ada'));
  await joinByCodes({ table: { id: TABLE, name: 'Monday table' } }, 'Ada');
  const seated = await readSeat(TABLE);
  assert.deepEqual([seated?.origin, seated?.state, seated?.view['table'].name], ['qr', 'in', 'Monday table']);
  // With the network back it is the same guest, with the notes.
  await openSeat(TABLE);
  await note(A, 'liking', 7);
  closeSeat();
  server.is.down = false;
  await joinTable(INVITATION, LOOK, 'Ada');
  assert.equal(server.joins.at(-1).guest, seated?.guest.id);
  assert.equal((await readAnswers(TABLE)).length, 1);
});

test('who sat down by codes keeps decision and timer in joining', async () => {
  for (const agreed of [true, false]) {
    await joinByCodes({ table: { id: TABLE } }, 'Ada');
    await openSeat(TABLE);
    await decideConsent(agreed);
    const decided = seat.value?.consent;
    await changeSeat(TABLE, () => ({ timer: { glass: A, started_ms: 5 } }));
    closeSeat();
    await joinTable(INVITATION, LOOK, 'Ada');
    const joined = await readSeat(TABLE);
    assert.deepEqual(joined?.consent, { ...decided, agreed, isSent: false });
    assert.deepEqual(joined?.timer, { glass: A, started_ms: 5 });
    await forgetSeat(TABLE);
  }
});

test('who joins as another guest decides anew', async () => {
  await beRemoved();
  await changeSeat(TABLE, () => ({ consent: { agreed: true, ms: 1, isSent: true } }));
  await joinTable(INVITATION, LOOK, 'Ada');
  assert.equal((await readSeat(TABLE))?.consent, undefined);
});

test('a phone sits at a table that is open again', async () => {
  await putSeat({ ...seatAt(), state: 'over' });
  assert.equal(await isSeatedAt(TABLE), true);
  server.is.ended = 'unknown';
  assert.equal(await isSeatedAt(TABLE), false);
});
