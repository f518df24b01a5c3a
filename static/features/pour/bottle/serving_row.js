// Row with the serving temperature on the page of a pour.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { servingBand } from '../../../rules/serving/serving.js';
import { isLabelHidden, validValues } from '../../../domain/pour/current_pour.js';
import { bandText } from '../../../domain/serving/format.js';
import { styleOf } from '../../../domain/style_names.js';

/**
 * Show the serving range below the temperature field, but not while the label is hidden, because it
 * would reveal the style.
 */
export function ServingRow() {
  const bottle = isLabelHidden.value ? {} : validValues('bottle');
  const style = styleOf(bottle['style']);
  // The page behind tells where professionals judge at another temperature.
  const band = bandText(servingBand(bottle, style));
  const key = style ? 'evening.serving_link' : 'evening.serving_link_any';
  return html`<a class="button plain" href="#/pour/serving">${t(key, { band })}</a>`;
}
