// Says while the server cannot be reached that guests are not reached either, and since when; and while no answer came
// for any other reason, that the page may lack what guests have noted.
import { html, useEffect, useRef, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { today } from '../../../lib/datetime.js';
import { date, time } from '../../../lib/format.js';
import { syncStatus } from '../../../sync/status.js';

/** Ten times the interval at a table. */
const OLD_MS = 30_000;
const CHECK_MS = 5_000;

export function Unreachable() {
  const { phase, lastSynced } = syncStatus.value;
  const isAway = useRef(false);
  const isOld = useOld(lastSynced);
  // A further attempt is no news.
  if (phase !== 'syncing') isAway.current = ['waiting', 'signin', 'apart'].includes(phase);
  const since = lastSynced ? sinceText(lastSynced) : '';
  const awaySays = phase === 'signin' ? 'table.away_sign_in' : lastSynced ? 'table.away_since' : 'table.away';
  const says = isAway.current ? awaySays : isOld ? 'table.view_old' : null;
  return says && html`<p class="notice" role="status">${t(says, { since })}</p>`;
}

/** @param {string | null} lastSynced @returns {boolean} whether it is too long ago; a page just opened has its time */
function useOld(lastSynced) {
  const opened_ms = useRef(Date.now());
  const [now_ms, setNow] = useState(opened_ms.current);
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), CHECK_MS);
    return () => clearInterval(timer);
  }, []);
  return lastSynced !== null && now_ms - Math.max(opened_ms.current, Date.parse(lastSynced)) > OLD_MS;
}

/** @param {string} moment */
function sinceText(moment) {
  const isToday = today(new Date(moment)) === today();
  return isToday ? time(moment) : `${date(moment)}, ${time(moment)}`;
}
