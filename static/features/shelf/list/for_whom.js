// For whom the shelf is sorted, and the order for company.
import { html, useEffect } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { list, number } from '../../../lib/format.js';
import { Choice, Choices } from '../../../components/form/choice.js';
import { refreshPersonPalates } from '../../../store/palate_cache.js';
import {
  chooseCompany,
  company,
  companyOrder,
  isCompany,
  ME,
  nameOf,
  newcomers,
  people,
  uncounted,
} from './company_state.js';
import { companyKeys } from './sort.js';

/** Draw the choice of a person, once the notebook has people who agreed to a palate. */
export function ForWhom() {
  const ids = people.value.map(({ id }) => id);
  useEffect(() => {
    if (ids.length) refreshPersonPalates(ids);
  }, [ids.join()]);
  if (!ids.length) return null;
  return html`<section class="for-whom">
    <${Choices} label=${t('shelf.for_whom')} value=${company.value} onChange=${chooseCompany}
      options=${[ME, ...ids].map((id) => ({ id, label: nameOf(id) }))} />
    ${isCompany.value && html`<${CompanyOrder} isShort /><${WhoIsUnknown} />`}
  </section>`;
}

/** @param {{ more?: string[], isShort?: boolean }} props `more`: further orders; `isShort`: without label and note */
export function CompanyOrder({ more = [], isShort = false }) {
  return html`<${Choice} label=${t('shelf.order')} hideLabel=${isShort} value=${companyOrder.value}
    options=${[...companyKeys, ...more].map((id) => ({ id, label: t(`shelf.order_${id}`) }))}
    onChange=${(/** @type {string | null} */ id) => {
      companyOrder.value = id ?? 'company_mean';
    }} note=${isShort ? '' : t(`shelf.order_note_${companyOrder.value}`)} />`;
}

function WhoIsUnknown() {
  const people = newcomers.value.map(({ name, count }) => `${name} (${number(count)})`);
  return html`${
    uncounted.value.length > 0 &&
    html`<p class="notice">${t('shelf.company_uncounted', { names: list(uncounted.value) })}</p>`
  }
  ${
    people.length > 1
      ? html`<p class="soft small">${t('shelf.company_new_many', { people: list(people) })}</p>`
      : newcomers.value.map(({ id, name, count }) => {
          const whose = id === ME ? 'own' : 'company';
          return html`<p class="soft small" key=${id}>
            ${count ? t(`shelf.${whose}_new`, { name, count }) : t(`shelf.${whose}_unrated`, { name })}</p>`;
        })
  }`;
}
