// Reads all records of one led tasting.
import { useMemo } from '../../lib/ui.js';
import { bottlesByIds, liveSignal, ofGroupTasting, record } from '../../store/queries.js';
import { resolveBottle } from '../bottle_names.js';
import { glassOrder } from './glass_order.js';

/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {object} TableRecords
 * @property {Row | undefined} row the group tasting; deleted if `row.gone`
 * @property {Row[]} glasses by position
 * @property {Row[]} guests by number, without those who were removed
 * @property {number} nextNumber of the next guest, by the same rule as on the server
 * @property {Row[]} sheets of these guests
 * @property {Map<string, Row>} bottles
 * @property {boolean} asked whether it was read
 */

const MAX_NUMBER = 200;

/** @type {TableRecords} */
const NO_TABLE = {
  row: undefined,
  glasses: [],
  guests: [],
  nextNumber: 1,
  sheets: [],
  bottles: new Map(),
  asked: false,
};

/** @param {string} id @returns {Promise<TableRecords>} */
export async function readTable(id) {
  const [row, glasses, guests, sheets] = await Promise.all([
    record('group_tasting', id),
    ofGroupTasting('glass', id),
    ofGroupTasting('guest', id),
    ofGroupTasting('sheet', id),
  ]);
  const kept = guests.filter((guest) => !guest.fields['removed_at']);
  const ids = new Set(kept.map((guest) => guest.id));
  return {
    row,
    glasses: sortedBy(glasses, 'position'),
    guests: sortedBy(kept, 'number'),
    nextNumber: freeNumber(guests, sheets),
    sheets: sheets.filter((sheet) => ids.has(sheet.fields['guest'])),
    bottles: await bottlesByIds(glasses.map((glass) => glass.fields['bottle'])),
    asked: true,
  };
}

/**
 * Return the number of a new guest. Once all are given out, those of guests who are gone without an answer are given
 * out again (`free_number` in join_limits.py).
 * @param {Row[]} guests of the table, with those who are gone
 * @param {Row[]} sheets
 */
export function freeNumber(guests, sheets) {
  const latest = Math.max(0, ...guests.map(({ fields }) => fields['number'] ?? 0));
  if (latest < MAX_NUMBER) return latest + 1;
  const answered = new Set(sheets.map(({ fields }) => fields['guest']));
  const taken = guests.filter(
    ({ id, fields: { removed_at, left_at } }) => answered.has(id) || !(removed_at || left_at),
  );
  const numbers = new Set(taken.map(({ fields }) => fields['number']));
  for (let number = 1; number < MAX_NUMBER; number += 1) if (!numbers.has(number)) return number;
  return MAX_NUMBER;
}

/** Return the guests other than the leader, who may have a sheet too. @param {Pick<TableRecords, 'guests'>} table */
export function visitors({ guests }) {
  return guests.filter(({ fields }) => fields['entry'] !== 'leader');
}

/** Return the guests, without the leader, who have not left. @param {Pick<TableRecords, 'guests'>} table */
export function present(table) {
  return visitors(table).filter(({ fields }) => !fields['left_at']);
}

/** @param {string} id @returns {TableRecords} follows changes */
export function useTable(id) {
  return useMemo(() => liveSignal(() => readTable(id), NO_TABLE), [id]).value;
}

/** @param {Row[]} rows @param {string} field a number; rows without it come last */
function sortedBy(rows, field) {
  const at = (/** @type {Row} */ row) => row.fields[field] ?? Infinity;
  return [...rows].sort((a, b) => at(a) - at(b) || (a.id < b.id ? -1 : 1));
}

/** @param {TableRecords} table @param {Row} glass @returns {Row | null} its bottle, after merges */
export function bottleOf({ bottles }, glass) {
  return resolveBottle(bottles, glass.fields['bottle']);
}

/**
 * @param {TableRecords} table
 * @param {number} [guest] number of the guest; the leader follows the first
 * @returns {Row[]} glasses in the order of tasting
 */
export function glassesFor({ row, glasses }, guest = 1) {
  const { order, order_seed: seed } = row?.fields ?? {};
  return glassOrder(order, seed ?? 0, glasses.length, guest).flatMap((place) => glasses[place] ?? []);
}

/**
 * @param {TableRecords} table
 * @param {string} guest
 * @param {string} glass
 * @returns {Record<string, any>} the answers, without null
 */
export function answersOf({ sheets }, guest, glass) {
  const sheet = sheets.find(({ fields }) => fields['guest'] === guest && fields['glass'] === glass);
  return Object.fromEntries(Object.entries(sheet?.fields ?? {}).filter(([, value]) => value !== null));
}
