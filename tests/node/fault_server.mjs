// A server in memory that syncs as webapp/sync does, and can be restored from a backup.
import { gunzipSync } from 'node:zlib';
import { clockMs } from '../../static/store/hlc.js';
import { merge } from '../../static/store/merge.js';
import { latestClock } from '../../static/sync/apply_page.js';
import { answerOf } from './support.mjs';

/** As on the server. */
const MAX_CLOCK_AHEAD_MS = 5 * 60_000;

/** Refused as a name. */
export const REFUSED = 'refused';

export class FaultServer {
  constructor() {
    this.made = 0;
    /** @type {any} */
    this.backup = null;
    this.replace();
  }

  /** Start with an empty database. */
  replace() {
    this.made += 1;
    this.epoch = `e${this.made}`;
    this.seq = 0;
    this.latest_ms = 0;
    /** @type {Map<string, { record: any, seq: number }>} */
    this.records = new Map();
    /** @type {Map<string, { token: string, before: string | null, passed: boolean }[]>} */
    this.tokens = new Map();
    /** @type {Set<unknown>} */
    this.revisions = new Set();
  }

  save() {
    const { epoch, seq, latest_ms, records, tokens, revisions } = this;
    this.backup = structuredClone({
      epoch,
      seq,
      latest_ms,
      records,
      tokens,
      revisions,
    });
  }

  restore() {
    if (this.backup) Object.assign(this, structuredClone(this.backup));
  }

  /** @param {string | ArrayBuffer} body @returns {any} the answer */
  handle(body) {
    const request = parse(body);
    const { device, cursor, changes } = request;
    const session = this.openSession(device, request.token);
    const isForeign = request.epoch === null ? cursor > 0 : request.epoch !== this.epoch;
    const rewound = session.rewound || cursor > this.seq || isForeign;
    const from = rewound ? 0 : cursor;
    const before = this.seq;
    /** @type {Set<string>} */
    const confirmed = new Set();
    const outcomes = changes.map((change) => ({
      id: change.id,
      ...this.apply(change, from, confirmed),
    }));
    const page =
      from === before && !rewound
        ? { changes: [], cursor: this.seq, remaining: 0 }
        : this.page(from, request.limit, rewound ? new Set() : confirmed);
    const { remaining } = page;
    return answerOf({
      ...page,
      ...session,
      rewound,
      epoch: this.epoch,
      more: remaining > 0,
      remaining,
      outcomes,
    });
  }

  /** @param {string} device @param {string | null} presented */
  openSession(device, presented) {
    const stored = this.tokens.get(device) ?? [];
    const current = stored.find(({ token }) => token === presented);
    let unknown = presented !== null && !current;
    if (unknown && stored.length === 0)
      unknown = ![...this.tokens.values()].flat().some(({ token }) => token === presented);
    const fork = current ? current.passed : unknown && stored.length > 0;
    for (const one of stored) if (current && one.token === current.before) one.passed = true;
    this.made += 1;
    const token = `t${this.made}`;
    this.tokens.set(device, [...stored, { token, before: current?.token ?? null, passed: false }]);
    return { token, rewound: unknown, fork };
  }

  /**
   * @param {any} change
   * @param {number} cursor
   * @param {Set<string>} confirmed ids that the page need not have
   */
  apply(change, cursor, confirmed) {
    if (change.fields.name?.startsWith(REFUSED))
      return { outcome: 'refused', errors: { name: [{ code: 'too_long' }] } };
    const ms = clockMs(String(latestClock(change)));
    if (ms > Math.max(Date.now(), this.latest_ms) + MAX_CLOCK_AHEAD_MS) return { outcome: 'restamp' };
    this.latest_ms = Math.max(this.latest_ms, ms);
    const mine = this.records.get(change.id);
    const { record, revisions, changed } = merge(mine?.record ?? null, change);
    const known = this.revisions.size;
    for (const { value } of revisions) this.revisions.add(value);
    if (changed) {
      if (!confirmed.has(change.id)) this.seq += 1;
      if (!mine || mine.seq <= cursor) confirmed.add(change.id);
      this.records.set(change.id, { record, seq: this.seq });
    }
    return {
      outcome: changed || this.revisions.size > known ? 'applied' : 'duplicate',
    };
  }

  /** @param {number} cursor @param {number} limit @param {Set<string>} exclude */
  page(cursor, limit, exclude) {
    const rows = [...this.records.values()].filter(({ seq }) => seq > cursor).sort((one, two) => one.seq - two.seq);
    const changes = [];
    for (const [place, { record, seq }] of rows.entries()) {
      if (!exclude.has(record.id)) {
        if (changes.length === limit) return { changes, cursor, remaining: rows.length - place };
        changes.push({ ...structuredClone(record), seq });
      }
      cursor = seq;
    }
    return { changes, cursor, remaining: 0 };
  }
}

/** @param {string | ArrayBuffer} body @returns {any} */
export function parse(body) {
  return JSON.parse(typeof body === 'string' ? body : gunzipSync(Buffer.from(body)).toString());
}
