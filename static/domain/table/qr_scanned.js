// Writes the sheets that a guest showed as QR codes into the leader's notebook. Scanning them again changes nothing.
import { timestamp } from '../../lib/datetime.js';
import { record } from '../../store/queries.js';
import { serverMs } from '../../store/server_time.js';
import { saveMany } from '../../store/write.js';
import { closedMs, orderNumber } from './by_place.js';
import { sheetEdit } from './edits.js';
import { clockOffset, lastInTime } from './noted_times.js';
import { readSheets } from './qr_documents.js';
import { fieldsOfStep, inOrder } from './steps.js';
import { answersOf, readTable } from './table_records.js';

/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {import('./qr_documents.js').ScannedSheets} ScannedSheets */

/**
 * @typedef {{ state: 'saved', name: string, glasses: number, refused: number, late: number } | { state: 'other_table' |
 *   'removed' | 'not_sheets' }} Scanned late: number of answers left out because their step had closed before
 */

/**
 * @param {string} table the table that the leader scans for
 * @param {any} document
 * @returns {Promise<Scanned>}
 */
export async function saveScanned(table, document) {
  const scanned = readSheets(document);
  if (!scanned) return { state: 'not_sheets' };
  const records = await readTable(table);
  if (scanned.table !== table || !records.row || records.row.gone) return { state: 'other_table' };
  const known = await record('guest', scanned.guest);
  if (known && known.fields['group_tasting'] !== table) return { state: 'other_table' };
  if (known && (known.gone || known.fields['removed_at'])) return { state: 'removed' };
  const guest = known ?? { id: scanned.guest, fields: guestFields(records, scanned) };
  const now_ms = await serverMs();
  const taken = takenAnswers(records, scanned, orderNumber(guest), now_ms);
  const changed = { ...(known ? {} : guest.fields), ...consentFields(scanned, guest.fields, now_ms) };
  const sheets = taken.sheets.filter(([, answers]) => Object.keys(answers).length > 0);
  await saveMany([
    ...(Object.keys(changed).length ? [{ kind: /** @type {const} */ ('guest'), id: guest.id, fields: changed }] : []),
    ...sheets.map(([id, answers]) => sheetEdit(records, scanned.guest, id, answers)),
  ]);
  const { name, refused } = scanned;
  return { state: 'saved', name, glasses: sheets.length, refused, late: taken.late };
}

/** @param {TableRecords} records @param {ScannedSheets} scanned @returns {Record<string, any>} of a new guest */
function guestFields({ row, nextNumber }, { name }) {
  return { group_tasting: row?.id, name: name || null, number: nextNumber, entry: 'qr', joined_at: timestamp() };
}

/**
 * @param {ScannedSheets} scanned
 * @param {Record<string, any>} guest fields so far
 * @param {number} nowMs
 * @returns {Record<string, any>} what changes in the guest; who has withdrawn is no person any more
 */
export function consentFields({ consent, flight, shown_ms }, guest, nowMs) {
  if (!consent || consent.agreed === Boolean(guest['agreed_at'])) return {};
  if (!consent.agreed) return { agreed_at: null, person: null };
  return { agreed_at: timestamp(new Date(consent.ms + clockOffset(flight, shown_ms, nowMs))) };
}

/**
 * Decide which answers count: those to what was asked that were noted before their step closed.
 * @param {TableRecords} records
 * @param {ScannedSheets} scanned
 * @param {number} order whose order the guest followed
 * @param {number} nowMs
 * @returns {{ sheets: [string, Record<string, any>][], late: number }} answers by glass; null where the guest has
 *   removed one since
 */
export function takenAnswers(records, scanned, order, nowMs) {
  const offset = clockOffset(scanned.flight, scanned.shown_ms, nowMs);
  const asked = inOrder(records.row?.fields['steps']).flatMap((step) =>
    fieldsOfStep(step).map((field) => /** @type {const} */ ([step, field])),
  );
  let late = 0;
  const sheets = records.glasses.flatMap((glass) => {
    const given = scanned.sheets.get(glass.id);
    if (!given) return [];
    const stored = answersOf(records, scanned.guest, glass.id);
    const answers = asked.flatMap(([step, field]) => {
      // An answer that is here but not in the codes was removed on the guest's phone, nobody knows when.
      const entries = given.get(field) ?? (field in stored ? [{ value: null, ms: Infinity }] : []);
      const corrected = entries.map(({ value, ms }) => ({ value, ms: ms + offset }));
      const { entry, isLate } = lastInTime(corrected, closedMs(records, glass, step, order), nowMs);
      if (isLate && given.has(field) && !isSame(corrected.at(-1)?.value, stored[field])) late += 1;
      if (!entry || (entry.value === null && !(field in stored))) return [];
      return [[field, entry.value]];
    });
    return [/** @type {[string, Record<string, any>]} */ ([glass.id, Object.fromEntries(answers)])];
  });
  return { sheets, late };
}

/** @param {any} one @param {any} other */
function isSame(one, other) {
  return JSON.stringify(one ?? null) === JSON.stringify(other ?? null);
}
