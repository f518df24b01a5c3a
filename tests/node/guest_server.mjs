// A guest's phone at a table, with a server that can fail.
import assert from 'node:assert/strict';
import { afterEach, beforeEach } from 'node:test';
import { linkPhase, linkTiming, startLink } from '../../static/domain/guest/guest_link.js';
import { forgetSeat, putSeat, readSeats } from '../../static/domain/guest/guest_store.js';
import { closeSeat, openSeat } from '../../static/domain/guest/seat_state.js';

export const TABLE = '01900000-0000-7000-8000-0000000000aa';
export const [A, B] = ['01900000-0000-7000-8000-00000000000a', '01900000-0000-7000-8000-00000000000b'];

/** A server of one guest, whose clock is an hour ahead. It can fail, lose responses, close steps and end the token. */
export class FakeServer {
  sheets = /** @type {Record<string, any>} */ ({});
  noted = /** @type {Record<string, any>} */ ({});
  closed = /** @type {Record<string, number>} */ ({});
  version = 0;
  table = /** @type {Record<string, any>} */ ({});
  requests = /** @type {string[]} */ ([]);
  is = { down: false, losing: false, ended: '' };
  refusedGlass = '';
  consents = /** @type {any[]} */ ([]);
  knowsConsent = true;
  joins = /** @type {any[]} */ ([]);

  now = () => Date.now() + 3_600_000;

  /** Close a step; `ago_ms` is more than a busy guest's estimate of the server's time may be off. */
  close(/** @type {string} */ field, ago_ms = 0) {
    this.closed[field] = this.now() - ago_ms;
    this.version += 1;
  }

  fetch = async (/** @type {string} */ path, /** @type {any} */ { method, headers, body }) => {
    if (this.is.down) throw new TypeError('Failed to fetch');
    this.requests.push(`${method} ${path.split('/').at(-1)}`);
    if (this.is.ended) return problem(401, 'guest_ended', { reason: this.is.ended });
    if (path.endsWith('/leave')) return this.leave(JSON.parse(body));
    if (path.endsWith('/join')) return this.join(JSON.parse(body));
    if (path.endsWith('/consent')) return this.consent(JSON.parse(body));
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
        result.closed[field] = this.closed[field];
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

  consent(/** @type {any} */ decided) {
    if (!this.knowsConsent) return problem(404, 'not_found');
    this.consents.push(decided);
    if (this.is.losing) throw new TypeError('Failed to fetch');
    return json(200, { done: true, now_ms: this.now() });
  }

  leave(/** @type {any} */ { forget }) {
    this.is.ended = forget ? 'forgotten' : 'left';
    if (this.is.losing) throw new TypeError('Failed to fetch');
    return json(200, { done: true });
  }

  join(/** @type {any} */ asked) {
    this.joins.push(asked);
    if (this.is.losing) throw new TypeError('Failed to fetch');
    const guest = { id: asked.guest, name: asked.name, number: 2 };
    return json(200, { token: 'token', group_tasting: TABLE, guest });
  }

  get(/** @type {any} */ headers) {
    const etag = `"${this.version}"`;
    if (headers['If-None-Match'] === etag) return new Response(null, { status: 304 });
    const guest = { id: 'g', name: 'Ada', number: 1 };
    return json(
      200,
      { now_ms: this.now(), table: this.table, guest, glasses: [], sheets: this.sheets },
      { ETag: etag },
    );
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

/** @param {number} ms */
export function wait(ms) {
  return new Promise((done) => {
    setTimeout(done, ms);
  });
}

/** @param {() => unknown} isTrue */
export async function until(isTrue) {
  for (let time = 0; time < 2_000; time += 1) {
    if (await isTrue()) return;
    await wait(2);
  }
  assert.fail(`never: ${isTrue}`);
}

/** @returns {import('../../static/domain/guest/guest_store.js').Seat} of a guest who has joined */
export function seatAt() {
  return {
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
  };
}

/** @returns {Promise<{ server: FakeServer, link: { stop: () => void, wake: () => void } }>} */
async function sitDown() {
  for (const { table } of await readSeats()) await forgetSeat(table);
  Object.assign(linkTiming, { poll: 8, pollMax: 10, pollIdle: 10, send: 1, retry: 2, retryMax: 6 });
  linkPhase.value = 'connecting';
  const server = new FakeServer();
  globalThis.fetch = /** @type {any} */ (server.fetch);
  await putSeat(seatAt());
  await openSeat(TABLE);
  return { server, link: startLink(TABLE) };
}

/**
 * Seat the guest before each test of the file.
 * @returns {{ server: FakeServer, link: { stop: () => void, wake: () => void } }} of the running test
 */
export function useSeat() {
  const table = /** @type {any} */ ({});
  beforeEach(async () => Object.assign(table, await sitDown()));
  afterEach(() => {
    table.link.stop();
    closeSeat();
  });
  return table;
}
