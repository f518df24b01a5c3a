// A visit groups pours under a name and place until it is ended.
import { timestamp, today } from '../../lib/datetime.js';
import { recentVisits } from '../../store/queries.js';
import { save } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Row} Row */

const ABANDONED_MS = 36 * 3_600_000;

/**
 * Return the current visit: the newest one that is not ended, and whose day began less than 36 hours ago here.
 * @param {Row[]} rows
 * @param {Date} now
 */
export function currentVisit(rows, now) {
  return (
    rows
      .filter(
        ({ fields }) =>
          !fields['ended_at'] &&
          !fields['example'] &&
          now.getTime() - Date.parse(`${fields['on']}T00:00`) < ABANDONED_MS,
      )
      .sort((a, b) => (a.id < b.id ? 1 : -1))[0] ?? null
  );
}

/** @returns {Promise<Row | null>} the current visit, without reading all of them */
export async function runningVisit() {
  const now = new Date();
  return currentVisit(await recentVisits(now), now);
}

/** @param {string} id @param {{ name: string | null, place: string | null }} said */
export function startVisit(id, { name, place }) {
  return save('visit', id, { name, place, on: today() });
}

/** @param {string} id */
export function endVisit(id) {
  return save('visit', id, { ended_at: timestamp() });
}

/** @param {string} id */
export function resumeVisit(id) {
  return save('visit', id, { ended_at: null });
}
