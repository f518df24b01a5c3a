// A person of the notebook with the answers from which their taste is learned.
import { bottlesByIds, ofGroupTasting, allWhere, record } from '../../store/queries.js';
import { saveMany } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {object} PersonTable a table at which the person was a guest
 * @property {Row} table
 * @property {Row} guest
 * @property {Row[]} glasses that the person rated
 * @property {Row[]} sheets
 */
/**
 * @typedef {object} PersonRecords
 * @property {Row | undefined} person deleted if `person.gone`
 * @property {PersonTable[]} tables the newest first
 * @property {Map<string, Row>} bottles
 * @property {boolean} asked whether it was read
 */

/** @type {PersonRecords} */
export const NO_PERSON = { person: undefined, tables: [], bottles: new Map(), asked: false };

/** @param {string} id @returns {Promise<PersonRecords>} */
export async function readPerson(id) {
  const person = await record('person', id);
  const guests = await allWhere('guest', 'person', id);
  const tables = (await Promise.all(guests.map(tableOf))).flatMap((found) => found ?? []);
  const bottles = tables.flatMap(({ glasses }) => glasses.map(({ fields }) => fields['bottle']));
  return { person, tables: tables.sort(newestFirst), bottles: await bottlesByIds(bottles), asked: true };
}

/** @param {Row} guest @returns {Promise<PersonTable | null>} null if the table was deleted, or nothing was rated */
async function tableOf(guest) {
  const id = guest.fields['group_tasting'];
  const [table, glasses, sheets] = await Promise.all([
    record('group_tasting', id),
    ofGroupTasting('glass', id),
    ofGroupTasting('sheet', id),
  ]);
  const rated = sheets.filter(({ fields }) => fields['guest'] === guest.id && fields['liking']);
  if (!table || table.gone || !rated.length) return null;
  const poured = new Set(rated.map(({ fields }) => fields['glass']));
  const order = new Map(glasses.map((glass) => [glass.id, glass.fields['position'] ?? 0]));
  const place = (/** @type {Row} */ sheet) => order.get(sheet.fields['glass']) ?? 0;
  return {
    table,
    guest,
    glasses: glasses.filter(({ id: glass }) => poured.has(glass)),
    sheets: rated.sort((one, other) => place(one) - place(other)),
  };
}

/** @param {PersonTable} one @param {PersonTable} other */
function newestFirst(one, other) {
  const on = (/** @type {PersonTable} */ { table }) => String(table.fields['on'] ?? '');
  return on(other).localeCompare(on(one)) || (one.table.id < other.table.id ? 1 : -1);
}

/**
 * Leave answers out of what is learned, or put them back; they stay with their table.
 * @param {string} sheet
 * @param {boolean} isLeftOut
 */
export async function leaveOut(sheet, isLeftOut) {
  await saveMany([{ kind: 'sheet', id: sheet, fields: { left_out: isLeftOut || null } }]);
}
