// The displayed name of a led tasting.
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';

/** @param {Record<string, any>} fields of the group tasting */
export function tableName({ name, on }) {
  return name || (on ? t('table.of_day', { on: date(on) }) : t('table.unnamed'));
}
