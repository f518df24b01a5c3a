// The displayed name of a guest.
import { t } from '../../i18n.js';

/** @param {import('../../store/record.js').Row} guest */
export function guestName({ fields }) {
  return fields['name'] || t('table.guest_number', { number: fields['number'] ?? 0 });
}
