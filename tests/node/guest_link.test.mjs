import assert from 'node:assert/strict';
import test from 'node:test';
import { linkPhase, startLink } from '../../static/domain/guest/guest_link.js';
import { changeSeat, forgetSeat, readAnswers } from '../../static/domain/guest/guest_store.js';
import {
  answersByGlass,
  closeSeat,
  note,
  openSeat,
  seat,
  unsentCount,
  valuesOfGlass,
} from '../../static/domain/guest/seat_state.js';
import { A, B, TABLE, until, useSeat, wait } from './guest_server.mjs';

const table = useSeat();

test('an answer reaches the server with the server’s time', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'liking', 7);
  await until(() => table.server.sheets[A]?.liking === 7 && unsentCount.value === 0);
  assert.ok(Math.abs(table.server.noted[`${A}/liking`] - table.server.now()) < 5_000);
});

test('answers noted without a network go up later, each once', async () => {
  await until(() => linkPhase.value === 'fresh');
  table.server.is.down = true;
  await note(A, 'liking', 7);
  await note(A, 'words', 'salt');
  await note(B, 'liking', 3);
  await until(() => linkPhase.value === 'offline');
  assert.equal(unsentCount.value, 3);
  assert.deepEqual(valuesOfGlass(A), { liking: 7, words: 'salt' });
  table.server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets, { [A]: { liking: 7, words: 'salt' }, [B]: { liking: 3 } });
  assert.deepEqual(table.server.requests.filter((one) => one.startsWith('PUT')).sort(), [`PUT ${A}`, `PUT ${B}`]);
});

test('one lost request is no lost signal, two are', async () => {
  for (const lost of [1, 2]) {
    await until(() => linkPhase.value === 'fresh');
    const phases = /** @type {string[]} */ ([]);
    const end = linkPhase.subscribe((phase) => phases.push(phase));
    let asked = 0;
    globalThis.fetch = /** @type {any} */ (
      async (/** @type {string} */ path, /** @type {any} */ options) => {
        asked += 1;
        if (asked <= lost) throw new TypeError('Failed to fetch');
        return table.server.fetch(path, options);
      }
    );
    await until(() => asked > lost + 1);
    end();
    assert.deepEqual(phases, lost === 1 ? ['fresh'] : ['fresh', 'offline', 'fresh']);
  }
});

test('a lost response is followed by the same answer again', async () => {
  table.server.is.losing = true;
  await note(A, 'liking', 7);
  await until(() => table.server.requests.filter((one) => one.startsWith('PUT')).length > 1);
  table.server.is.losing = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets, { [A]: { liking: 7 } });
});

test('a page that was killed sends what it had kept', async () => {
  table.server.is.down = true;
  await note(A, 'liking', 7);
  table.link.stop();
  closeSeat();
  table.server.is.down = false;
  await openSeat(TABLE);
  assert.deepEqual(valuesOfGlass(A), { liking: 7 });
  table.link = startLink(TABLE);
  await until(() => table.server.sheets[A]?.liking === 7);
});

test('a change counts after the phone’s clock was set back', async () => {
  await until(() => seat.value?.clock);
  await note(A, 'liking', 5);
  await until(() => unsentCount.value === 0);
  const open = /** @type {any} */ (seat.value);
  seat.value = { ...open, clock: { ...open.clock, offset_ms: open.clock.offset_ms - 60_000 } };
  await note(A, 'liking', 8);
  assert.equal(valuesOfGlass(A)['liking'], 8);
  await until(() => table.server.sheets[A]?.liking === 8);
});

test('a closed step keeps what was noted before it closed', async () => {
  await until(() => seat.value?.clock);
  table.server.is.down = true;
  await note(A, 'acidity', 4, table.server.now() - 60_000);
  table.server.close('acidity', 30_000);
  await note(A, 'acidity', 9);
  table.server.is.down = false;
  await until(() => unsentCount.value === 0);
  assert.deepEqual(table.server.sheets, { [A]: { acidity: 4 } });
  const [answer] = await readAnswers(TABLE);
  assert.equal(answer?.late?.value, 9);
  await until(() => valuesOfGlass(A)['acidity'] === 4);
});

test('a page shows what another page of the phone has received', async () => {
  await until(() => linkPhase.value === 'fresh');
  table.server.is.down = true;
  await until(() => linkPhase.value === 'offline');
  table.server.version += 1;
  table.server.table = { open_step: 'sip_1' };
  const etag = `"${table.server.version}"`;
  await changeSeat(TABLE, ({ view }) => ({ view: { ...view, table: table.server.table }, etag }));
  table.server.is.down = false;
  await until(() => seat.value?.view['table']?.open_step === 'sip_1');
});

test('a table that was left is not opened by a late response', async () => {
  await until(() => linkPhase.value === 'fresh');
  let answer = /** @type {(() => void) | null} */ (null);
  globalThis.fetch = () =>
    new Promise((resolve) => {
      answer = () => resolve(new Response(null, { status: 304 }));
    });
  await until(() => answer);
  table.link.stop();
  closeSeat();
  answer?.();
  await wait(20);
  assert.equal(seat.value, null);
});

test('a refused glass does not hold up the others', async () => {
  table.server.refusedGlass = A;
  await note(A, 'liking', 7);
  await note(B, 'liking', 3);
  await until(() => table.server.sheets[B]?.liking === 3);
  table.server.refusedGlass = '';
  await until(() => table.server.sheets[A]?.liking === 7);
});

test('an ended token stops the requests and keeps the answers', async () => {
  await until(() => linkPhase.value === 'fresh');
  table.server.is.ended = 'removed';
  await note(A, 'liking', 7);
  await until(() => seat.value?.state === 'removed');
  const count = table.server.requests.length;
  table.link.wake();
  await note(A, 'liking', 8);
  await wait(60);
  assert.equal(table.server.requests.length, count);
  assert.deepEqual(valuesOfGlass(A), { liking: 8 });
});

test('a deleted table that comes back is open again', async () => {
  await note(A, 'liking', 7);
  await until(() => linkPhase.value === 'fresh' && unsentCount.value === 0);
  table.server.is.ended = 'deleted';
  await until(() => seat.value?.state === 'over');
  table.server.is.ended = '';
  await until(() => seat.value?.state === 'in');
  await note(A, 'liking', 8);
  await until(() => table.server.sheets[A]?.liking === 8);
});

test('an ended table is asked for again with the page', async () => {
  table.server.is.ended = 'ended';
  await until(() => seat.value?.state === 'over');
  table.server.is.ended = '';
  const count = table.server.requests.length;
  await wait(60);
  assert.equal(table.server.requests.length, count);
  table.link.stop();
  table.link = startLink(TABLE);
  await until(() => seat.value?.state === 'in');
});

test('a table that another page has left is closed', async () => {
  await until(() => linkPhase.value === 'fresh');
  await forgetSeat(TABLE);
  await note(A, 'liking', 7);
  await until(() => seat.value === null);
  assert.equal(unsentCount.value, 0);
  assert.deepEqual(await readAnswers(TABLE), []);
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

test('a table that was left changes nothing on the page', async () => {
  await until(() => linkPhase.value === 'fresh');
  const { fetch } = globalThis;
  /** @type {(() => void)[]} */
  const held = [];
  globalThis.fetch = async (...asked) => {
    await new Promise((go) => held.push(() => go(null)));
    return fetch(...asked);
  };
  await note(A, 'liking', 7);
  await until(() => held.length);
  table.link.stop();
  closeSeat();
  linkPhase.value = 'connecting';
  globalThis.fetch = fetch;
  held.forEach((go) => go());
  await wait(20);
  assert.equal(answersByGlass().size, 0);
  assert.equal(linkPhase.value, 'connecting');
});
