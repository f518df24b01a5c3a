// Names the guests whose phones are silent, for the leader only.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { hasPhones, useSilentPhones } from '../silent_phones.js';

/** @param {{ table: import('../../../domain/table/table_records.js').TableRecords }} props */
export function SilentGuests({ table }) {
  const silent = useSilentPhones(table.row?.id ?? '', hasPhones(table));
  const guests = table.guests.filter(({ id }) => silent.has(id));
  if (!guests.length) return null;
  const nameOf = nameAmong(table.guests);
  const lineOf = (/** @type {import('../../../store/record.js').Row} */ guest) =>
    t('table.silent_of', { name: nameOf(guest), minutes: silent.get(guest.id) ?? 0 });
  return html`<div class="notice" role="status">${guests.map((guest) => html`<p key=${guest.id}>${lineOf(guest)}</p>`)}
    <p class="soft small">${t('table.silent_why')}</p></div>`;
}
