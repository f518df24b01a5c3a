// People whose taste the notebook learns: guests who agree, and the ways to their pages.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { ArrowRow } from '../../components/layout/row.js';
import { showToast } from '../../components/layout/toast.js';
import { liveSignal } from '../../store/queries.js';
import { nameAmong } from '../../domain/table/guest_name.js';
import { agreedPeople, hasToAgree, rememberGuest } from '../../domain/table/people.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @type {Row[]} */
const NOBODY = [];

const usePeople = () => useMemo(() => liveSignal(agreedPeople, NOBODY), []).value;

/** Ask for each guest of a table whether their taste may be remembered. @param {{ guests: Row[] }} props */
export function RememberGuests({ guests }) {
  const people = usePeople();
  const nameOf = nameAmong(guests);
  const asked = guests.filter(({ fields }) => fields['name'] && fields['entry'] !== 'leader');
  if (!asked.length) return null;
  const remember = async (/** @type {Row} */ guest) => {
    const undo = await rememberGuest(guest);
    showToast(t('table.person_remembered', { name: nameOf(guest) }), undo);
  };
  return html`<section class="table-part"><h2>${t('table.people_keep')}</h2>
    <p class="soft small">${t('table.people_note')}${asked.some(hasToAgree) && html` ${t('table.people_phones')}`}</p>
    <ul class="ruled">${asked.map((guest) => {
      const isKept = people.some(({ id }) => id === guest.fields['person']);
      return html`<li key=${guest.id} class="table-glass"><span class="grow name">${nameOf(guest)}</span>
        ${
          isKept
            ? html`<a class="button plain" href=${`#/table/person/${guest.fields['person']}`}
              aria-label=${t('table.person_kept_named', { name: nameOf(guest) })}>${t('table.person_kept')}</a>`
            : hasToAgree(guest)
              ? html`<span class="soft small">${t('table.person_not_agreed')}</span>`
              : html`<button type="button" class="button" onClick=${() => remember(guest)}
              aria-label=${t('table.person_agrees_named', { name: nameOf(guest) })}>${t('table.person_agrees')}
            </button>`
        }</li>`;
    })}</ul></section>`;
}

/** Show all people of the notebook, and the way to take one over from another notebook. */
export function PeopleList() {
  const people = usePeople();
  return html`<section class="table-part"><h2>${t('table.people')}</h2>
    <p class="soft small">${t('table.people_use')}</p>
    <ul class="ruled">${people.map(
      ({ id, fields }) => html`<li key=${id}><${ArrowRow} href=${`#/table/person/${id}`} name=${fields['name']}
        line=${t('table.person_since', { date: date(fields['agreed_at']) })} /></li>`,
    )}
      <li key="take"><${ArrowRow} href="#/table/person/take" name=${t('table.person_take')}
        line=${t('table.person_take_line')} /></li></ul></section>`;
}
