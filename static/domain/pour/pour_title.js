// Title of a pour on its own pages.
import { t } from '../../i18n.js';
import { isLabelHidden, values } from './current_pour.js';
import { styleName } from '../style_names.js';
import { vintageSaid } from '../vintage_text.js';

/** Return the name of the bottle or style, or that the label is hidden. */
export function pourTitle() {
  const mark = values.tasting.value['flight_mark'];
  if (isLabelHidden.value) return mark ? t('pour.hidden_marked', { mark }) : t('pour.hidden');
  return [bottleName(values.bottle.value), vintageSaid(values.bottle.value)].filter(Boolean).join(' ');
}

/** Name of a bottle in a list. @param {Record<string, any>} fields */
export function bottleName(fields) {
  return fields['name'] ?? (fields['style'] ? styleName(fields['style']) : t('app.unnamed'));
}
