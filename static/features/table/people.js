// People whose taste the notebook learns: guests who agree, and a way to forget them.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { liveSignal } from '../../store/queries.js';
import { guestName } from '../../domain/table/guest_name.js';
import { agreedPeople, forgetPerson, rememberGuest } from '../../domain/table/people.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @type {Row[]} */
const NOBODY = [];

const usePeople = () => useMemo(() => liveSignal(agreedPeople, NOBODY), []).value;

/** Ask for each guest of a table whether their taste may be remembered. @param {{ guests: Row[] }} props */
export function RememberGuests({ guests }) {
  const people = usePeople();
  const asked = guests.filter(({ fields }) => fields['name'] && fields['entry'] !== 'leader');
  if (!asked.length) return null;
  const remember = async (/** @type {Row} */ guest) => {
    const undo = await rememberGuest(guest);
    showToast(t('table.person_remembered', { name: guestName(guest) }), undo);
  };
  return html`<section class="table-part"><h2>${t('table.people_keep')}</h2>
    <p class="soft small">${t('table.people_note')}</p>
    <ul class="ruled">${asked.map((guest) => {
      const isKept = people.some(({ id }) => id === guest.fields['person']);
      return html`<li key=${guest.id} class="table-glass"><span class="grow name">${guestName(guest)}</span>
        ${
          isKept
            ? html`<span class="soft small">${t('table.person_kept')}</span>`
            : html`<button type="button" class="button" onClick=${() => remember(guest)}
              aria-label=${t('table.person_agrees_named', { name: guestName(guest) })}>${t('table.person_agrees')}
            </button>`
        }</li>`;
    })}</ul></section>`;
}

/** All people of the notebook, each with a way to forget them. */
export function PeopleList() {
  const people = usePeople();
  if (!people.length) return null;
  const forget = async (/** @type {Row} */ { id, fields }) => {
    const undo = await forgetPerson(id);
    showToast(t('table.person_forgotten', { name: fields['name'] }), undo);
  };
  return html`<section class="table-part"><h2>${t('table.people')}</h2>
    <p class="soft small">${t('table.people_use')}</p>
    <ul class="ruled">${people.map(
      (person) => html`<li key=${person.id} class="table-glass"><span class="grow name">${person.fields['name']}</span>
        <button type="button" class="icon-button" onClick=${() => forget(person)}
          aria-label=${t('table.person_forget', { name: person.fields['name'] })}>
          <span aria-hidden="true">${'\u00d7'}</span></button></li>`,
    )}</ul></section>`;
}
