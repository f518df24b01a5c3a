// Shared fixtures: records, outbox entries, server responses.
import process from 'node:process';
import { afterEach, beforeEach, mock } from 'node:test';
import { db, transaction } from '../../static/store/database.js';
import { emptyEntry } from '../../static/store/outbox.js';
import { journalKey } from '../../static/store/database_name.js';
import { timing } from '../../static/config.js';

export const DEVICE = 'aaaaaaaaaaaaaaaaaaaa';
export const OTHER = 'bbbbbbbbbbbbbbbbbbbb';
export const NOW = 1_790_000_000_000;

/** @param {number} ms after NOW @param {string} [device] @param {number} [counter] */
export function at(ms, device = DEVICE, counter = 0) {
  return `${NOW + ms}-${counter.toString(16).padStart(4, '0')}-${device}`;
}

let made = 0;

/** @returns {string} a new id; ids sort in order of the calls */
export function someId() {
  made += 1;
  return `0192f0c1-2a3b-7c4d-8e5f-${made.toString(16).padStart(12, '0')}`;
}

/**
 * @param {string} id
 * @param {Record<string, [unknown, string]>} said value and clock by field
 * @param {{ kind?: any, deleted?: boolean, deleted_clock?: string | null }} [more]
 */
export function recordOf(id, said, { kind = 'bottle', deleted = false, deleted_clock = null } = {}) {
  const fields = Object.fromEntries(Object.entries(said).map(([field, [value]]) => [field, value]));
  const clocks = Object.fromEntries(Object.entries(said).map(([field, [, clock]]) => [field, clock]));
  return { kind, id, fields, clocks, deleted, deleted_clock };
}

/**
 * As `recordOf`, for an outbox entry.
 * @param {string} id
 * @param {Record<string, [unknown, string]>} said
 * @param {any} [more]
 */
export function unsentOf(id, said, { kind = 'bottle', deleted = false, deleted_clock = null, ...more } = {}) {
  return { ...emptyEntry(kind, id), ...recordOf(id, said, { kind, deleted, deleted_clock }), ...more };
}

/**
 * Create a superseded delta of an outbox entry.
 * @param {Record<string, [unknown, string]>} said
 * @param {any} [more]
 */
export function saidOf(said, more) {
  const { fields, clocks, deleted, deleted_clock } = recordOf('', said, more);
  return { fields, clocks, deleted, deleted_clock };
}

/**
 * Clear the database and set the phone's device id.
 * @param {any} [clock]
 * @param {any} [server]
 */
export async function emptyBook(clock = {}, server = null) {
  await transaction(
    'rw',
    db.tables.map(({ name }) => name),
    async (book) => {
      for (const table of book.tables) await table.clear();
      await book.meta.put({
        name: 'clock',
        book: 'b'.repeat(20),
        device: DEVICE,
        last: null,
        offset_ms: 0,
        ...clock,
      });
      if (server) await book.meta.put({ ...freshServer(), ...server });
    },
  );
}

/** Return the `server` row of a phone that was never synced. */
export function freshServer() {
  return {
    name: 'server',
    epoch: null,
    token: null,
    cursor: 0,
    seen: null,
    rewinding: false,
    rewound_at: null,
    last_synced: null,
  };
}

/**
 * @param {any} [more]
 * @returns {any} a response without changes
 */
export function answerOf(more = {}) {
  return {
    format: 1,
    epoch: 'e1',
    token: 't1',
    cursor: 1,
    more: false,
    now: Date.now(),
    rewound: false,
    fork: false,
    outcomes: [],
    changes: [],
    ...more,
  };
}

/**
 * @param {any} [more]
 * @returns {any} a request without changes
 */
export function requestOf(more = {}) {
  return {
    device: DEVICE,
    epoch: null,
    cursor: 0,
    sent: [],
    waiting: 0,
    complete: true,
    last: null,
    body: '',
    ...more,
  };
}

const usual = { ...timing };

/** @param {Partial<typeof timing>} values until the next call */
export function setTiming(values) {
  Object.assign(timing, usual, values);
}

/** @returns {any[]} the edits that a page closed now would leave for the next start */
export function leftBehind() {
  dispatchEvent(new Event('pagehide'));
  return Object.keys(localStorage)
    .filter((key) => key.startsWith(journalKey))
    .flatMap((key) => JSON.parse(localStorage[key]));
}

/** Let pending promises and immediates run. */
export async function turns() {
  for (let turn = 0; turn < 5; turn += 1)
    await new Promise((go) => {
      setImmediate(go);
    });
}

/** Processor time after which `until` gives up; a mutant is not worth as much. */
const LIMIT_US = process.env.MUTANT_FILE ? 3_000_000 : 20_000_000;

/** Wait until the check passes. Other work on the machine does not count. @param {() => unknown} check */
export async function until(check) {
  const began = process.cpuUsage();
  while (!(await check())) {
    if (process.cpuUsage(began).user > LIMIT_US) throw new Error(`waited in vain for ${check}`);
    await turns();
  }
}

/**
 * Mock the server.
 * @param {(url: string, init: any) => any} reply a Response, or throws
 * @returns {{ url: string, init: any }[]} the requests, in order
 */
export function serve(reply) {
  /** @type {{ url: string, init: any }[]} */
  const asked = [];
  globalThis.fetch = async (url, init) => {
    asked.push({ url: String(url), init });
    return reply(String(url), init);
  };
  return asked;
}

/** @param {unknown} body @param {number} [status] @param {Record<string, string>} [headers] */
export function json(body, status = 200, headers = {}) {
  return new Response(JSON.stringify(body), { status, headers: { 'Content-Type': 'application/json', ...headers } });
}

/** Reply like a server that accepts all changes, with these additions. @param {any} more */
export function takesAll(more) {
  return (_, { body }) =>
    json(
      answerOf({
        cursor: JSON.parse(body).cursor,
        outcomes: JSON.parse(body).changes.map(({ id }) => ({ id, outcome: 'applied' })),
        ...more,
      }),
    );
}

/**
 * Start each test of the file with an empty book, at this time, and with no delay of edits.
 * @param {number} [now] ms
 */
export function useEmptyBook(now = NOW) {
  beforeEach(async () => {
    setTiming({ draft_ms: 0 });
    mock.timers.enable({ apis: ['Date'], now });
    await emptyBook();
  });
  afterEach(() => mock.timers.reset());
}

/**
 * Abort the transaction of the next write, as the system may do.
 * @returns {() => boolean} whether it was aborted; `mock.restoreAll()` ends it
 */
export function abortOnce() {
  const { put } = IDBObjectStore.prototype;
  let aborted = false;
  mock.method(IDBObjectStore.prototype, 'put', function once(/** @type {any} */ ...row) {
    const request = put.apply(this, row);
    if (!aborted) this.transaction.abort();
    aborted = true;
    return request;
  });
  return () => aborted;
}
