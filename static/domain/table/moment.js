// Moments of a table: what was noted before one counts. They follow the server's clock, because the leader's may be
// wrong. It is read before the tap, because a page that is closed loses an edit that waits for a read.
import { timestamp } from '../../lib/datetime.js';
import { liveSignal } from '../../store/queries.js';
import { correctionMs } from '../../store/server_time.js';

/** Server time minus phone time in ms, followed while a table is shown; null until it is read. */
export const tableClock = liveSignal(correctionMs, /** @type {number | null} */ (null));

/** @returns {string} now */
export function tableMoment() {
  return timestamp(new Date(Date.now() + (tableClock.peek() ?? 0)));
}
