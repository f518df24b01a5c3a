// What a pour is called in a list; a covered glass goes by its mark.
import { t } from '../../words.js';
import { isStillCovered } from './glasses.js';
import { bottleName } from './naming.js';
import { vintageSaid } from '../vintage.js';

/** @typedef {import('../../book/record.js').Row} Row */

/** @param {Row} pour @param {Map<string, Row>} bottles */
export function pourName(pour, bottles) {
  const mark = pour.fields['flight_mark'];
  const bottle = bottles.get(pour.fields['bottle']);
  if (isStillCovered(pour) || bottle?.fields['covered']) return mark ? t('pour.hidden_marked', { mark }) : t('pour.hidden');
  const fields = bottle?.fields ?? {};
  return [bottleName(fields), vintageSaid(fields)].filter(Boolean).join(' ');
}
