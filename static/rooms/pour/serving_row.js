// On the way of a pour: at what temperature it is served, and the bottle that stands in the cold just now.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { servingBand } from '../../trade/serving.js';
import { isCovered, sound } from './in_hand.js';
import { callAt, standing } from './serving_clock.js';
import { bandSaid, clock } from './serving_words.js';
import { styleOf } from './style_finder.js';

/** Beneath the temperature in the glass; a covered label does not give its style away. */
export function ServingRow() {
  const bottle = isCovered.value ? {} : sound('bottle');
  return html`<a class="button plain" href="#/pour/serving">${t('evening.serving_link', { band: bandSaid(servingBand(bottle, styleOf(bottle['style']))) })}</a>`;
}

export function StandingRow() {
  const bottle = standing.now.value;
  if (!bottle) return null;
  return html`<a class="row ruled-row standing-row" href="#/pour/serving"><span class="grow">${t(`evening.in_${bottle.place}`, { name: bottle.name || t('evening.the_bottle') })}</span><span class="figure soft">${clock(callAt(bottle))}</span></a>`;
}
