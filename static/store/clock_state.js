/**
 * Identity and clock of this phone: the row `clock` of `meta`.
 *
 * @typedef {Object} ClockState
 * @property {'clock'} name
 * @property {string} book id created with the database and never changed; shows that a lost
 *   database was replaced by a new one
 * @property {string} device
 * @property {string | null} last the latest clock issued or seen
 * @property {number} offset_ms server time minus phone time; 0 while the difference is small
 * @property {number} [correction_ms] the same, however small, but no more than the last exchange proves
 */
import { hex } from '../lib/hex.js';
import { tick } from './hlc.js';

/** @returns {string} a device id, 20 hex digits */
export function newDeviceId() {
  return hex(crypto.getRandomValues(new Uint8Array(10)));
}

/**
 * Read the state inside a transaction over `meta`.
 * @param {import('./database.js').Transaction} tx
 * @returns {Promise<ClockState>} created and stored if missing, so that two tabs never create two
 *   devices
 */
export async function readClockState(tx) {
  const row = await tx.meta.get('clock');
  if (row) return row;
  /** @type {ClockState} */
  const initial = { name: 'clock', book: newDeviceId(), device: newDeviceId(), last: null, offset_ms: 0 };
  await tx.meta.put(initial);
  return initial;
}

/**
 * @param {ClockState} row
 * @returns {string} the next clock; the caller stores it as `last`
 */
export function nextTimestamp(row) {
  return tick(row.last, Date.now() + row.offset_ms, row.device);
}
