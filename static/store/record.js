/**
 * Shape of a record on the phone. See "Record shape" in webapp/sync/README.md.
 *
 * @typedef {'bottle' | 'tasting' | 'visit' | 'pick' | 'stock' | 'photo' | 'settings' |
 *   'group_tasting' | 'glass' | 'guest' | 'person' | 'sheet'} Kind
 * @typedef {Record<string, any>} Fields values by field name; null means "no value"
 * @typedef {Object} BookRecord
 * @property {Kind} kind
 * @property {string} id UUIDv7
 * @property {Fields} fields
 * @property {Record<string, string>} clocks a clock for each field that was ever written
 * @property {boolean} deleted
 * @property {string | null} deleted_clock
 * @typedef {BookRecord & { gone: 0 | 1 }} Row a record as stored in its table
 */
import { hex } from '../lib/hex.js';
import record from '../spec/record.json' with { type: 'json' };

export const kinds = /** @type {Kind[]} */ (Object.keys(record.kinds));
export const settingsId = record.settings_id;
/** For so many days after its deletion a record keeps its values, here and on the server. */
export const deletedKeptDays = record.deleted_kept_days;

/**
 * @param {string} kind
 * @returns {string} the table of its records
 */
export function tableOf(kind) {
  return kinds.includes(/** @type {Kind} */ (kind)) ? kind : 'unknown_kind';
}

/** @param {Kind} kind @param {string} id @returns {BookRecord} */
export function emptyRecord(kind, id) {
  return { kind, id, fields: {}, clocks: {}, deleted: false, deleted_clock: null };
}

/**
 * Tell whether a record is deleted: it has the deletion mark and no later write.
 * @param {BookRecord} stored
 */
export function isDeleted(stored) {
  const deletedAt = stored.deleted_clock;
  if (!stored.deleted || deletedAt === null) return stored.deleted;
  return Object.values(stored.clocks).every((clock) => clock <= deletedAt);
}

/**
 * Tell whether only the mark is left: deleted so long ago that the server has dropped the values, or an empty draft.
 * @param {BookRecord} held
 */
export function isEmptied(held) {
  const values = Object.values(held.fields);
  return values.length > 0 && values.every((value) => value === null) && isDeleted(held);
}

/** @param {string} kind @param {string} id @returns {string} where `cache` has the last known revisions of a record */
export function revisionsName(kind, id) {
  return `earlier:${kind}:${id}`;
}

/** @param {BookRecord} stored @returns {Row} */
export function toRow(stored) {
  return { ...stored, gone: isDeleted(stored) ? 1 : 0 };
}

/** @param {number} ms @returns {string} the start of the ids that are made from this time on */
export function firstIdAt(ms) {
  return ms.toString(16).padStart(12, '0').replace(/.{8}/, '$&-');
}

/**
 * Create a record id: UUID version 7 (RFC 9562 section 5.7), so that ids sort by creation time.
 * @returns {string}
 */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const ms = BigInt(Date.now());
  for (let place = 0; place < 6; place += 1) bytes[place] = Number((ms >> BigInt(40 - 8 * place)) & 255n);
  bytes[6] = (Number(bytes[6]) & 0x0f) | 0x70;
  bytes[8] = (Number(bytes[8]) & 0x3f) | 0x80;
  const text = hex(bytes);
  return [text.slice(0, 8), text.slice(8, 12), text.slice(12, 16), text.slice(16, 20), text.slice(20)].join('-');
}
