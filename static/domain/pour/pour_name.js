// Name of a pour in a list; a hidden one is named by its glass.
import { t } from '../../i18n.js';
import { isLabelHidden } from '../blind/glasses.js';
import { bottleName } from './pour_title.js';
import { vintageSaid } from '../vintage_text.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @param {Row} pour @param {Map<string, Row>} bottles */
export function pourName(pour, bottles) {
  const mark = pour.fields['flight_mark'];
  const bottle = bottles.get(pour.fields['bottle']);
  if (isLabelHidden(pour) || bottle?.fields['covered'])
    return mark ? t('pour.hidden_marked', { mark }) : t('pour.hidden');
  const fields = bottle?.fields ?? {};
  return [bottleName(fields), vintageSaid(fields)].filter(Boolean).join(' ');
}
