// The bottle that is chilling, as a row on the page of a pour.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { alertAt, chilling, timeOfDay } from './chill_timer.js';

export function ChillingRow() {
  const bottle = chilling.value;
  if (!bottle) return null;
  return html`<a class="row ruled-row chilling-row" href="#/pour/serving">
  <span class="grow">${t(`evening.in_${bottle.place}`, { name: bottle.name || t('evening.the_bottle') })}
  </span>
  <span class="figure soft">${timeOfDay(alertAt(bottle))}
  </span>
  </a>`;
}
