/**
 * Summaries of all records of one kind in memory, updated when the table changes, also in other
 * tabs.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').Kind} Kind
 */
import Dexie from '../vendor/dexie.js';
import { db, withReconnect } from './database.js';

/** Above this number of changed records, reading all is faster. */
const MANY = 500;

/** @template T the summary of a record */
export class RecordIndex {
  /**
   * @param {Kind} kind
   * @param {(row: Row) => T} summarize
   */
  constructor(kind, summarize) {
    this.kind = kind;
    this.summarize = summarize;
    /** @type {Map<string, T>} */
    this.records = new Map();
    /** @type {Set<string> | null} ids to read again; null: all */
    this.stale = null;
    /** @type {Promise<unknown>} */
    this.reading = Promise.resolve();
    Dexie.on('storagemutated', (parts) => this.changed(parts));
  }

  /** Read everything again, because `summarize` would return something else. */
  invalidate() {
    this.stale = null;
  }

  /** @param {Record<string, any>} parts changed key ranges by database and table */
  changed(parts) {
    const tree = parts[`idb://${db.name}/${this.kind}/`];
    if (!tree || this.stale === null) return;
    for (const { from, to } of ranges(tree)) {
      if (from !== to || this.stale.size >= MANY) {
        this.stale = null;
        return;
      }
      this.stale.add(from);
    }
  }

  /** @returns {Promise<Map<string, T>>} by id, without deleted records */
  refreshed() {
    const done = this.reading.then(() => this.read());
    this.reading = done.catch(() => {
      this.stale = null;
    });
    return done;
  }

  /** @returns {Promise<Map<string, T>>} */
  async read() {
    const stale = this.stale;
    if (stale?.size === 0) return this.records;
    this.stale = new Set();
    const table = db[this.kind];
    const rows = await withReconnect(() => (stale ? table.bulkGet([...stale]) : table.toArray()));
    if (!stale) this.records = new Map();
    for (const row of rows) {
      if (row && !row.gone) this.records.set(row.id, this.summarize(row));
      else if (row) this.records.delete(row.id);
    }
    return this.records;
  }
}

/**
 * @param {any} tree a tree of key ranges
 * @returns {Generator<{ from: any, to: any }>}
 */
function* ranges(tree) {
  if (!tree?.d) return;
  yield tree;
  yield* ranges(tree.l);
  yield* ranges(tree.r);
}
