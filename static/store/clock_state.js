/**
 * Who this phone is and what time it is by the book's clock: the row `clock` of `meta`.
 *
 * @typedef {Object} ClockState
 * @property {'clock'} name
 * @property {string} book made with the tables and never changed, so that a book that was lost and begun anew is
 *   told apart
 * @property {string} device
 * @property {string | null} last the latest clock given out or seen
 * @property {number} offset_ms what to add to the phone's own time to have the server's; 0 while they agree
 */
import { tick } from './hlc.js';

/** @returns {string} a device id, 20 hex digits */
export function newDeviceId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(10)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/**
 * Inside a transaction over `meta`.
 * @param {import('./database.js').Transaction} tx
 * @returns {Promise<ClockState>} written at once where the phone has none yet, so that two tabs never make two devices
 */
export async function readClockState(tx) {
  const row = await tx.meta.get('clock');
  if (row) return row;
  /** @type {ClockState} */
  const fresh = { name: 'clock', book: newDeviceId(), device: newDeviceId(), last: null, offset_ms: 0 };
  await tx.meta.put(fresh);
  return fresh;
}

/** @param {ClockState} row @returns {string} the next clock; the caller stores it as `last` */
export function nextTimestamp(row) {
  return tick(row.last, Date.now() + row.offset_ms, row.device);
}
