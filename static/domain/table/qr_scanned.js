// Writes the sheets that a guest showed as QR codes into the leader's notebook. Scanning them again changes nothing.
import { timestamp } from '../../lib/datetime.js';
import { record } from '../../store/queries.js';
import { saveMany } from '../../store/write.js';
import { sheetEdit } from './edits.js';
import { readSheets } from './qr_documents.js';
import { fieldsOfStep, inOrder } from './steps.js';
import { readTable } from './table_records.js';

/** @typedef {import('../../store/write.js').Kind} Kind */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {import('./qr_documents.js').ScannedSheets} ScannedSheets */

/**
 * @typedef {{ state: 'saved', name: string, glasses: number, refused: number } | { state: 'other_table' | 'removed' |
 *   'not_sheets' }} Scanned
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
  const guest = await record('guest', scanned.guest);
  if (guest && guest.fields['group_tasting'] !== table) return { state: 'other_table' };
  if (guest && (guest.gone || guest.fields['removed_at'])) return { state: 'removed' };
  const glasses = records.glasses.filter(({ id }) => scanned.sheets.has(id));
  await saveMany([
    ...(guest ? [] : [guestEdit(records, scanned)]),
    ...glasses.map(({ id }) => sheetEdit(records, scanned.guest, id, answersOf(records, scanned, id))),
  ]);
  return { state: 'saved', name: scanned.name, glasses: glasses.length, refused: scanned.refused };
}

/** @param {TableRecords} records @param {ScannedSheets} scanned */
function guestEdit({ row, guests }, { guest, name }) {
  const number = 1 + Math.max(0, ...guests.map(({ fields }) => fields['number'] ?? 0));
  const fields = { group_tasting: row?.id, name: name || null, number, entry: 'qr', joined_at: timestamp() };
  return { kind: /** @type {const} */ ('guest'), id: guest, fields };
}

/**
 * @param {TableRecords} records
 * @param {ScannedSheets} scanned
 * @param {string} glass
 * @returns {Record<string, any>} the answers to what was asked; null where the guest has removed one since
 */
function answersOf({ row, sheets }, { guest, sheets: given }, glass) {
  const fields = given.get(glass) ?? {};
  const stored = sheets.find((sheet) => sheet.fields['guest'] === guest && sheet.fields['glass'] === glass)?.fields;
  const asked = inOrder(row?.fields['steps']).flatMap(fieldsOfStep);
  return Object.fromEntries(
    asked.flatMap((field) => {
      if (field in fields) return [[field, fields[field]]];
      return stored?.[field] === undefined || stored[field] === null ? [] : [[field, null]];
    }),
  );
}
