import assert from 'node:assert/strict';
import test, { afterEach, beforeEach } from 'node:test';
import { linkPhase, startLink } from '../../static/domain/guest/guest_link.js';
import { readAnswers } from '../../static/domain/guest/guest_store.js';
import { closeSeat, note, openSeat, seat, unsentCount, valuesOfGlass } from '../../static/domain/guest/seat_state.js';
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

test('an answer reaches the server with the server’s time', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'liking', 7);
  await until(() => server.sheets[A]?.liking === 7 && unsentCount.value === 0);
  assert.ok(Math.abs(server.noted[`${A}/liking`] - server.now()) < 5_000);
});

test('answers noted without a network go up later, each once', async () => {
  await until(() => linkPhase.value === 'fresh');
  server.is.down = true;
  await note(A, 'liking', 7);
  await note(A, 'words', 'salt');
  await note(B, 'liking', 3);
  await until(() => linkPhase.value === 'offline');
  assert.equal(unsentCount.value, 3);
  assert.deepEqual(valuesOfGlass(A), { liking: 7, words: 'salt' });
  server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(server.sheets, { [A]: { liking: 7, words: 'salt' }, [B]: { liking: 3 } });
  assert.deepEqual(server.requests.filter((one) => one.startsWith('PUT')).sort(), [`PUT ${A}`, `PUT ${B}`]);
});

test('a lost response is followed by the same answer again', async () => {
  server.is.losing = true;
  await note(A, 'liking', 7);
  await until(() => server.requests.filter((one) => one.startsWith('PUT')).length > 1);
  server.is.losing = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(server.sheets, { [A]: { liking: 7 } });
});

test('a page that was killed sends what it had kept', async () => {
  server.is.down = true;
  await note(A, 'liking', 7);
  link.stop();
  closeSeat();
  server.is.down = false;
  await openSeat(TABLE);
  assert.deepEqual(valuesOfGlass(A), { liking: 7 });
  link = startLink(TABLE);
  await until(() => server.sheets[A]?.liking === 7);
});

test('a closed step keeps what was noted before it closed', async () => {
  await until(() => seat.value?.clock);
  server.is.down = true;
  await note(A, 'acidity', 4);
  await wait(400);
  server.close('acidity');
  await wait(50);
  await note(A, 'acidity', 9);
  server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(server.sheets, { [A]: { acidity: 4 } });
  const [answer] = await readAnswers(TABLE);
  assert.equal(answer?.late?.value, 9);
  await until(() => valuesOfGlass(A)['acidity'] === 4);
});

test('a refused glass does not hold up the others', async () => {
  server.refusedGlass = A;
  await note(A, 'liking', 7);
  await note(B, 'liking', 3);
  await until(() => server.sheets[B]?.liking === 3);
  server.refusedGlass = '';
  await until(() => server.sheets[A]?.liking === 7);
});

test('an ended token stops the requests and keeps the answers', async () => {
  await until(() => linkPhase.value === 'fresh');
  server.is.ended = 'removed';
  await note(A, 'liking', 7);
  await until(() => seat.value?.state === 'removed');
  const count = server.requests.length;
  link.wake();
  await note(A, 'liking', 8);
  await wait(60);
  assert.equal(server.requests.length, count);
  assert.deepEqual(valuesOfGlass(A), { liking: 8 });
});

test('the journal of a killed page is replayed', async () => {
  const left = [{ table: TABLE, glass: B, field: 'liking', value: 2, ms: 5 }];
  localStorage.setItem('secondnose_guest.unwritten.other', JSON.stringify(left));
  await openSeat(TABLE);
  assert.deepEqual(valuesOfGlass(B), { liking: 2 });
  assert.equal(localStorage.getItem('secondnose_guest.unwritten.other'), null);
});

test('the journal of a forgotten table is dropped', async () => {
  const left = [{ table: 'gone', glass: B, field: 'liking', value: 2, ms: 5 }];
  localStorage.setItem('secondnose_guest.unwritten.other', JSON.stringify(left));
  await readAnswers(TABLE);
  assert.deepEqual(await readAnswers('gone'), []);
});
