/**
 * Summaries of all records of one kind in memory, updated when the table changes, also in other
 * tabs.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {import('./record.js').Kind} Kind
 */
import Dexie from '../vendor/dexie.js';
import { db, withReconnect } from './database.js';
import { deletionClock } from './deleted_tastings.js';
import { visitAll } from './whole_table.js';

/** Above this number of changed records, and above a quarter of all, reading all is faster. */
const MANY = 500;

/** @template T the summary of a record */
export class RecordIndex {
  /**
   * @param {Kind} kind
   * @param {(row: Row) => T} summarize
   * @param {{ withDeleted?: boolean }} [how] withDeleted: deleted records are in it too
   */
  constructor(kind, summarize, { withDeleted = false } = {}) {
    this.kind = kind;
    this.summarize = summarize;
    this.withDeleted = withDeleted;
    /** @type {Map<string, T>} */
    this.records = new Map();
    /** @type {Map<string, string>} clock of the deletion by id, without the example's */
    this.deleted = new Map();
    /** @type {Set<string> | null} ids to read again; null: all */
    this.stale = null;
    /** @type {Set<string> | null} ids that changed since `takeChanges`; null: perhaps all */
    this.changes = null;
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
    if (this.stale === null) return;
    for (const { from, to } of ranges(tree)) {
      if (from !== to || this.stale.size >= Math.max(MANY, this.records.size / 4)) {
        this.stale = null;
        return;
      }
      this.stale.add(from);
    }
  }

  /** @returns {Promise<Map<string, T>>} by id */
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
    if (!stale) {
      this.changes = null;
      ({ records: this.records, deleted: this.deleted } = await this.readAll());
      return this.records;
    }
    const ids = [...stale];
    const rows = await withReconnect(() => db[this.kind].bulkGet(ids));
    ids.forEach((id, place) => {
      const row = rows[place];
      this.changes?.add(id);
      // The example leaves no row if no server has it.
      if (!row || !this.holds(row)) this.records.delete(id);
      else this.records.set(id, this.summarize(row));
      const clock = deletionClock(row);
      if (clock) this.deleted.set(id, clock);
      else this.deleted.delete(id);
    });
    return this.records;
  }

  /** @param {Row} row */
  holds(row) {
    return this.withDeleted || !row.gone;
  }

  /** What changes while it is read is stale again. */
  async readAll() {
    /** @type {Map<string, T>} */
    const records = new Map();
    /** @type {Map<string, string>} */
    const deleted = new Map();
    await visitAll(this.kind, (row) => {
      if (this.holds(row)) records.set(row.id, this.summarize(row));
      const clock = deletionClock(row);
      if (clock) deleted.set(row.id, clock);
    });
    return { records, deleted };
  }

  /** @returns {Set<string> | null} ids of the records that changed since the last call; null: perhaps all */
  takeChanges() {
    const changes = this.changes;
    this.changes = new Set();
    return changes;
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
