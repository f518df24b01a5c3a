import assert from 'node:assert/strict';
import test, { afterEach, beforeEach } from 'node:test';
import { linkPhase, linkTiming, startLink } from '../../static/domain/guest/guest_link.js';
import { forgetSeat, putSeat, readAnswers, readSeats } from '../../static/domain/guest/guest_store.js';
import { closeSeat, note, openSeat, seat, unsentCount, valuesOfGlass } from '../../static/domain/guest/seat_state.js';

const TABLE = '01900000-0000-7000-8000-0000000000aa';
const [A, B] = ['01900000-0000-7000-8000-00000000000a', '01900000-0000-7000-8000-00000000000b'];

/** A server of one guest, whose clock is an hour ahead. It can fail, lose responses, close steps and end the token. */
class FakeServer {
  sheets = /** @type {Record<string, any>} */ ({});
  noted = /** @type {Record<string, any>} */ ({});
  closed = /** @type {Record<string, number>} */ ({});
  version = 0;
  requests = /** @type {string[]} */ ([]);
  is = { down: false, losing: false, ended: '' };
  refusedGlass = '';

  now = () => Date.now() + 3_600_000;

  close(/** @type {string} */ field) {
    this.closed[field] = this.now();
    this.version += 1;
  }

  fetch = async (/** @type {string} */ path, /** @type {any} */ { method, headers, body }) => {
    if (this.is.down) throw new TypeError('Failed to fetch');
    this.requests.push(`${method} ${path.split('/').at(-1)}`);
    if (this.is.ended) return problem(401, 'guest_ended', { reason: this.is.ended });
    const response = method === 'PUT' ? this.put(path.split('/').at(-1) ?? '', JSON.parse(body)) : this.get(headers);
    if (this.is.losing) throw new TypeError('Failed to fetch');
    return response;
  };

  put(/** @type {string} */ glass, /** @type {any} */ { fields, noted_ms }) {
    if (glass === this.refusedGlass) return problem(404, 'no_such_glass');
    const result = { stored: [], closed: {}, errors: {}, now_ms: this.now() };
    for (const [field, value] of Object.entries(fields)) {
      const key = `${glass}/${field}`;
      if (this.closed[field] && noted_ms[field] > this.closed[field]) {
        result.closed[field] = new Date(this.closed[field]).toISOString();
        continue;
      }
      result.stored.push(field);
      if ((this.noted[key] ?? 0) >= noted_ms[field]) continue;
      this.noted[key] = noted_ms[field];
      (this.sheets[glass] ??= {})[field] = value;
      this.version += 1;
    }
    return json(200, result);
  }

  get(/** @type {any} */ headers) {
    const etag = `"${this.version}"`;
    if (headers['If-None-Match'] === etag) return new Response(null, { status: 304 });
    const guest = { id: 'g', name: 'Ada', number: 1 };
    return json(200, { now_ms: this.now(), table: {}, guest, glasses: [], sheets: this.sheets }, { ETag: etag });
  }
}

/** @param {number} status @param {unknown} document @param {Record<string, string>} [headers] */
function json(status, document, headers = {}) {
  return new Response(JSON.stringify(document), {
    status,
    headers: { 'Content-Type': 'application/json', ...headers },
  });
}

/** @param {number} status @param {string} code @param {unknown} [errors] */
function problem(status, code, errors) {
  return json(status, { code, errors });
}

/** @type {FakeServer} */
let server;
/** @type {{ stop: () => void, wake: () => void }} */
let link;

/** @param {() => unknown} isTrue */
async function until(isTrue) {
  for (let time = 0; time < 2_000; time += 1) {
    if (await isTrue()) return;
    await new Promise((done) => {
      setTimeout(done, 2);
    });
  }
  assert.fail(`never: ${isTrue}`);
}

beforeEach(async () => {
  for (const { table } of await readSeats()) await forgetSeat(table);
  Object.assign(linkTiming, { poll: 8, pollMax: 10, pollIdle: 10, send: 1, retry: 2, retryMax: 6 });
  linkPhase.value = 'connecting';
  server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
  await putSeat({
    table: TABLE,
    origin: 'server',
    invitation: { secret: 's' },
    guest: { id: 'g', name: 'Ada', number: null },
    key: 'k',
    token: 'token',
    state: 'in',
    view: {},
    etag: null,
    clock: null,
    timer: null,
    taken: [],
    opened_ms: 1,
  });
  await openSeat(TABLE);
  link = startLink(TABLE);
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
  await new Promise((done) => {
    setTimeout(done, 400);
  });
  server.close('acidity');
  await new Promise((done) => {
    setTimeout(done, 50);
  });
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
  await new Promise((done) => {
    setTimeout(done, 60);
  });
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
