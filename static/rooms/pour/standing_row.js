// The bottle that stands in the cold just now, on the way of a pour.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { callAt, standing } from './serving_clock.js';
import { clock } from './serving_words.js';

export function StandingRow() {
  const bottle = standing.now.value;
  if (!bottle) return null;
  return html`<a class="row ruled-row standing-row" href="#/pour/serving"><span class="grow">${t(`evening.in_${bottle.place}`, { name: bottle.name || t('evening.the_bottle') })}</span><span class="figure soft">${clock(callAt(bottle))}</span></a>`;
}
