// Writes the whole notebook as the ZIP that webapp/archive describes, from what this phone has. Needs no network.
import { Zip, ZipDeflate, ZipPassThrough, strToU8 } from '../vendor/fflate.js';
import { db, withReconnect } from '../store/database.js';
import { today } from '../lib/datetime.js';
import { localOwner } from '../store/owner.js';
import { kinds } from '../store/record.js';
import { photo } from '../photos/photos.js';
import { tastingsCsv } from './tastings_csv.js';

/** @typedef {import('../store/record.js').Row} Row */
/** @typedef {{ file: Blob, name: string, notes: number, missingPhotos: number }} PhoneCopy notes: without samples */

const FORMAT = 1;
const LEVEL = 6;
const LINES_AT_ONCE = 500;
/** A ZIP without the extension for large files ends at 4 GiB and 65,535 entries; the rest is left for the records. */
const MAX_PHOTO_BYTES = 4_000_000_000;
const MAX_PHOTOS = 65_000;
const FLUSH_BYTES = 4_000_000;
/** Suffixes of the pictures that an archive may have, by type. @type {Record<string, string>} */
const SUFFIXES = { 'image/jpeg': '.jpg', 'image/webp': '.webp' };

/** @returns {Promise<PhoneCopy>} missingPhotos: those that are only on the server, or find no room */
export async function writeArchive() {
  const rows = await allRecords();
  const owner = await localOwner();
  const out = new ZipWriter();
  const made_at = `${new Date().toISOString().slice(0, 19)}+00:00`;
  await out.text('book.json', [`${JSON.stringify({ format: FORMAT, made_at, owner_name: owner?.name ?? '' })}\n`]);
  for (const kind of kinds) {
    const ofKind = rows.get(kind) ?? [];
    if (ofKind.length) await out.text(`${kind}.jsonl`, ofKind.map(recordLine));
  }
  await out.text('revisions.jsonl', []);
  await out.text('tastings.csv', sheet(rows, today()));
  const missingPhotos = await writePhotos(out, rows.get('photo') ?? []);
  const notes = (rows.get('tasting') ?? []).filter((row) => !row.gone && row.fields['example'] !== true).length;
  return { file: out.end(), name: `second-nose-${today()}.zip`, notes, missingPhotos };
}

/** @returns {Promise<Map<string, Row[]>>} all records in one state, by kind, each kind sorted by id */
function allRecords() {
  const tables = kinds.map((kind) => db.table(kind));
  return withReconnect(() =>
    db.transaction('r', tables, async () => {
      const rows = await Promise.all(tables.map((table) => table.toArray()));
      return new Map(kinds.map((kind, at) => [kind, /** @type {Row[]} */ (rows[at] ?? [])]));
    }),
  );
}

/** @param {Row} row */
function recordLine({ kind, id, fields, clocks, deleted, deleted_clock }) {
  return `${JSON.stringify({ kind, id, fields, clocks, deleted, deleted_clock })}\n`;
}

/** @param {Map<string, Row[]>} rows @param {string} day @returns {string[]} lines of the table of tastings */
function sheet(rows, day) {
  const active = (/** @type {import('../store/record.js').Kind} */ kind) =>
    (rows.get(kind) ?? []).filter((row) => !row.gone);
  const bottles = new Map(active('bottle').map((row) => [row.id, row.fields]));
  return tastingsCsv(active('tasting'), bottles, active('settings')[0]?.fields['market'], day);
}

/** @param {ZipWriter} out @param {Row[]} rows @returns {Promise<number>} how many could not be written */
async function writePhotos(out, rows) {
  let [written, bytes, missing] = [0, 0, 0];
  for (const row of rows) {
    const picture = row.gone ? null : await photo(row.id);
    const suffix = SUFFIXES[picture?.type ?? ''];
    if (picture && suffix && written < MAX_PHOTOS && bytes + picture.size < MAX_PHOTO_BYTES) {
      await out.stored(`photos/${row.id}${suffix}`, picture);
      written += 1;
      bytes += picture.size;
    } else if (!row.gone) missing += 1;
  }
  return missing;
}

/** A ZIP that grows as a Blob, so that the pictures need not be in memory together. */
class ZipWriter {
  constructor() {
    /** @type {Blob[]} */
    this.blobs = [];
    /** @type {Uint8Array<ArrayBuffer>[]} */
    this.chunks = [];
    this.waiting = 0;
    this.zip = new Zip((error, chunk) => {
      if (error) throw error;
      this.chunks.push(/** @type {Uint8Array<ArrayBuffer>} */ (chunk));
      this.waiting += chunk.length;
      if (this.waiting > FLUSH_BYTES) this.flush();
    });
  }

  flush() {
    this.blobs.push(new Blob(this.chunks));
    this.chunks = [];
    this.waiting = 0;
  }

  /** @param {string} name @param {string[]} lines compressed in parts, so that the page stays alive */
  async text(name, lines) {
    const entry = new ZipDeflate(name, { level: LEVEL });
    this.zip.add(entry);
    for (let at = 0; at < lines.length; at += LINES_AT_ONCE) {
      entry.push(strToU8(lines.slice(at, at + LINES_AT_ONCE).join('')), false);
      await new Promise((done) => {
        setTimeout(done);
      });
    }
    entry.push(new Uint8Array(), true);
  }

  /** @param {string} name @param {Blob} content stored as it is */
  async stored(name, content) {
    const entry = new ZipPassThrough(name);
    this.zip.add(entry);
    entry.push(new Uint8Array(await content.arrayBuffer()), true);
  }

  /** @returns {Blob} */
  end() {
    this.zip.end();
    this.flush();
    return new Blob(this.blobs, { type: 'application/zip' });
  }
}
