// On the way of a pour: at what temperature it is served.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { servingBand, tradeBand } from '../../trade/serving.js';
import { isCovered, sound } from './in_hand.js';
import { bandsSaid } from './serving_words.js';
import { styleOf } from '../style_names.js';

/** Beneath the temperature in the glass; a covered label does not give its style away. */
export function ServingRow() {
  const bottle = isCovered.value ? {} : sound('bottle');
  const style = styleOf(bottle['style']);
  const band = bandsSaid(servingBand(bottle, style), tradeBand(bottle, style));
  return html`<a class="button plain" href="#/pour/serving">${t('evening.serving_link', { band })}</a>`;
}
