// The displayed names of guests.
import { t } from '../../i18n.js';

/** @param {import('../../store/record.js').Row} guest */
export function guestName({ fields }) {
  return fields['name'] || t('table.guest_number', { number: fields['number'] ?? 0 });
}

/**
 * Tell guests of the same name apart. Who left and joined again is there twice, and two people may share a name.
 * @param {import('../../store/record.js').Row[]} guests
 * @returns {string[]} a name for each guest
 */
export function distinctNames(guests) {
  return guests.map((guest) => {
    const same = guests.filter((other) => guestName(other) === guestName(guest));
    const alike = same.filter((other) => hasLeft(other) === hasLeft(guest));
    const said = [
      same.length > 1 && hasLeft(guest) && t('table.guest_left'),
      alike.length > 1 && String(1 + alike.indexOf(guest)),
    ].filter(Boolean);
    return said.length ? `${guestName(guest)} (${said.join(', ')})` : guestName(guest);
  });
}

/**
 * @param {import('../../store/record.js').Row[]} guests of a table
 * @returns {(guest: import('../../store/record.js').Row) => string} names one of them
 */
export function nameAmong(guests) {
  const names = distinctNames(guests);
  return ({ id }) => names[guests.findIndex((guest) => guest.id === id)] ?? '';
}

/** @param {import('../../store/record.js').Row} guest */
function hasLeft({ fields }) {
  return Boolean(fields['left_at']);
}
