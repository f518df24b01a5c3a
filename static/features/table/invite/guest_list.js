// Who sits at the table, by which way they came, and a way to remove them.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { showToast } from '../../../components/layout/toast.js';
import { readmitGuest, removeGuest } from '../../../domain/table/edits.js';
import { stateOf } from '../../../domain/table/flow.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { hasPhones, silentLine, useSilentPhones } from '../silent_phones.js';
import { whoIsThere } from '../who_is_there.js';
import { sendAway } from './invitation.js';

/** @typedef {import('../../../store/record.js').Row} Row */

/** @param {{ table: import('../../../domain/table/table_records.js').TableRecords }} props */
export function GuestList({ table }) {
  const { row, guests } = table;
  const nameOf = nameAmong(guests);
  const silent = useSilentPhones(row?.id ?? '', stateOf(table) !== 'ended' && hasPhones(table));
  const [asked, setAsked] = useState(/** @type {Row | null} */ (null));
  const remove = async (/** @type {Row} */ guest) => {
    setAsked(null);
    await removeGuest(guest.id);
    if (isOnPhone(guest)) sendAway(row?.id ?? '', guest.id);
    showToast(
      t('table.guest_removed', { name: nameOf(guest) }),
      isOnPhone(guest) ? null : () => readmitGuest(guest.id),
    );
  };
  return html`<section class="table-part"><h2>${t('table.guests')}</h2>
    <p role="status" class="soft">${whoIsThere(table)}</p>
    <ul class="ruled">${guests.map(
      (guest) => html`<li key=${guest.id} class="table-glass">
      <span class="grow"><span class="name">${nameOf(guest)}</span>
        <span class="soft small table-entry">${[
          t(`guest_entry.${guest.fields['entry'] ?? 'phone'}`),
          guest.fields['left_at'] ? t('table.guest_left') : silentLine(silent, guest.id),
        ]
          .filter(Boolean)
          .join(' \u00b7 ')}</span></span>
      ${
        guest.fields['entry'] !== 'leader' &&
        html`<button type="button" class="icon-button" onClick=${() => (isOnPhone(guest) ? setAsked : remove)(guest)}
        aria-label=${t('table.guest_remove', { name: nameOf(guest) })}><span aria-hidden="true">
        ${'\u00d7'}</span></button>`
      }</li>`,
    )}</ul>
    <${Sheet} title=${t('table.guest_remove_ask', { name: asked ? nameOf(asked) : '' })} open=${asked !== null}
      onClose=${() => setAsked(null)}>${
        asked &&
        html`<div class="table-ask"><p>${t('table.guest_remove_note')}</p><div class="buttons">
          <button type="button" class="button primary" onClick=${() => remove(asked)}>
            ${t('table.guest_remove', { name: nameOf(asked) })}</button></div></div>`
      }<//></section>`;
}

/** Tell whether a guest has a phone, which joins again once removed; others are taken back. @param {Row} guest */
function isOnPhone({ fields }) {
  return fields['entry'] === 'phone';
}
