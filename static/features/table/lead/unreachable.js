// Says while the server cannot be reached that guests are not reached either, and since when.
import { html, useRef } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { today } from '../../../lib/datetime.js';
import { date, time } from '../../../lib/format.js';
import { syncStatus } from '../../../sync/status.js';

export function Unreachable() {
  const { phase, lastSynced } = syncStatus.value;
  const isAway = useRef(false);
  // A further attempt is no news.
  if (phase !== 'syncing') isAway.current = phase === 'waiting' || phase === 'signin';
  if (!isAway.current) return null;
  const says = phase === 'signin' ? 'table.away_sign_in' : lastSynced ? 'table.away_since' : 'table.away';
  return html`<p class="notice" role="status">${t(says, { since: lastSynced ? sinceText(lastSynced) : '' })}</p>`;
}

/** @param {string} moment */
function sinceText(moment) {
  const isToday = today(new Date(moment)) === today();
  return isToday ? time(moment) : `${date(moment)}, ${time(moment)}`;
}
