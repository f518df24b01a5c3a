// Moments of a table: what was noted before one counts.
import { timestamp } from '../../lib/datetime.js';
import { serverMs } from '../../store/server_time.js';

/** Return now by the server's clock, because the leader's may be wrong. @returns {Promise<string>} */
export async function tableMoment() {
  return timestamp(new Date(await serverMs()));
}
