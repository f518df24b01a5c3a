// Which guests' phones the server has not heard for longer than their polling explains, by the server's clock.
import { useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { apiRequest } from '../../account/api.js';
import { db } from '../../store/database.js';
import { syncStatus } from '../../sync/index.js';

const EVERY_MS = 15_000;
/** A phone asks every 8 seconds at least, and the server notes that every 20 seconds. */
const SILENT_S = 90;

/** @typedef {Map<string, number>} Silent minutes by id of the guest */

/** @type {Silent} */
const NONE = new Map();

/**
 * @param {string} id of the table
 * @param {boolean} isAsked
 * @returns {Silent} none while the server cannot be reached, because it cannot tell then
 */
export function useSilentPhones(id, isAsked) {
  const [silent, setSilent] = useState(NONE);
  useEffect(() => {
    if (!isAsked) return undefined;
    let left = false;
    const read = async () => {
      if (document.visibilityState !== 'visible' || !syncStatus.peek().lastSynced) return;
      // The server answers 404 for a table that it does not have yet.
      if (await db.outbox.get(id)) return;
      const found = await apiRequest('GET', `/api/group-tastings/${id}/phones`).then(silentOf, () => NONE);
      if (!left) setSilent(found);
    };
    read();
    const timer = setInterval(read, EVERY_MS);
    return () => {
      left = true;
      clearInterval(timer);
    };
  }, [id, isAsked]);
  return isAsked ? silent : NONE;
}

/** @param {{ phones: { guest: string, silent_s: number }[] }} answer @returns {Silent} */
function silentOf({ phones }) {
  const silent = phones.filter(({ silent_s }) => silent_s >= SILENT_S);
  return new Map(silent.map(({ guest, silent_s }) => [guest, Math.floor(silent_s / 60)]));
}

/** @param {Pick<import('../../domain/table/table_records.js').TableRecords, 'guests'>} table */
export function hasPhones({ guests }) {
  return guests.some(({ fields }) => fields['entry'] === 'phone');
}

/** @param {Silent} silent @param {string} guest @returns {string | null} */
export function silentLine(silent, guest) {
  const minutes = silent.get(guest);
  return minutes === undefined ? null : t('table.silent_for', { minutes });
}
