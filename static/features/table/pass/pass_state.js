// Who has the phone that goes round, and at which step: a reload in the middle comes back to it.
import { localState } from '../../../store/local_state.js';
import { orderNumber, ownGlass } from '../../../domain/table/by_place.js';
import { isClosed } from '../../../domain/table/flow.js';
import { inOrder } from '../../../domain/table/steps.js';
import { glassesFor } from '../../../domain/table/table_records.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {Pick<Row, 'id' | 'fields'>} Guest */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/**
 * @typedef {object} Passing
 * @property {string} table
 * @property {{ guest: string, glass: string, step: string } | null} now null while the phone changes hands
 * @property {string[]} done `guest/glass` of what was finished and passed on
 */

/** Tables that are remembered; more do not run at once. */
const TABLES = 8;

/** @param {any} stored @returns {stored is Passing} */
const isPassing = (stored) => typeof stored?.table === 'string' && Array.isArray(stored.done);

/** @param {any} stored @returns {stored is Passing | Passing[]} one alone was written by releases before several */
const arePassings = (stored) => [stored].flat().every(isPassing);

export const passing = localState('table_pass', arePassings, { restored: 'by the caller' });

/** @returns {Passing[]} one for each table, the last one used first */
const all = () => [passing.value ?? []].flat();

/** @param {string} table @returns {Passing} */
export function passingOf(table) {
  return all().find((one) => one.table === table) ?? { table, now: null, done: [] };
}

/** @param {Passing} next replaces what was known of its table */
export function keepPassing(next) {
  return passing.set([next, ...all().filter(({ table }) => table !== next.table)].slice(0, TABLES));
}

/**
 * Find the glass that a guest tastes next: the open one where everybody is led, else the first in the guest's order.
 * @param {TableRecords} table
 * @param {Guest} guest
 * @param {string[]} done
 * @returns {Row | null} null if none is left
 */
export function nextGlass(table, guest, done) {
  const left = glassesFor(table, orderNumber(guest)).filter(
    (glass) => !done.includes(`${guest.id}/${glass.id}`) && openSteps(table, guest, glass).length > 0,
  );
  const { open_glass: open, pace, ended_at: endedAt } = table.row?.fields ?? {};
  if (endedAt) return null;
  if (pace === 'free' || !open) return left[0] ?? null;
  return left.find(({ id }) => id === ownGlass(table, open, orderNumber(guest))) ?? null;
}

/**
 * @param {TableRecords} table
 * @param {Guest} guest
 * @param {Row} glass
 * @returns {string[]} steps that still take answers
 */
export function openSteps(table, guest, glass) {
  return inOrder(table.row?.fields['steps']).filter((step) => !isClosed(table, guest, glass, step));
}
