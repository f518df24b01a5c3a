// Carries a person to another notebook by QR codes. What is carried is said before any code is shown.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { date } from '../../../lib/format.js';
import { ShowFrames } from '../../../domain/table/qr_exchange.js';
import { countCarried, personDocument } from '../../../domain/table/person_document.js';
import { Page } from '../../shell/page.js';
import { usePerson } from './person_page.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @param {{ id: string }} props */
export function CarryPage({ id }) {
  const records = usePerson(id);
  const { person } = records;
  const [isShown, setShown] = useState(false);
  const back = `/table/person/${id}`;
  if (!person || person.gone || !person.fields['agreed_at'])
    return html`<${Page} title=${t('table.person_carry')} back="/table" trailing="">
      ${records.asked && html`<p class="empty voice">${t('table.person_missing')}</p>`}<//>`;
  const who = String(person.fields['name'] ?? '');
  const document = personDocument(records);
  return html`<${Page} title=${t('table.person_carry')} back=${back} trailing="">
    ${
      isShown
        ? html`<p class="voice guide">${t('table.carry_how')}</p>
      <${ShowFrames} document=${document} label=${t('table.carry_label', { who })} />`
        : html`<p class="voice guide">${t('table.carry_what', { who, count: countCarried(document) })}</p>
      <p class="table-agreed">${t('table.carry_agreed', { who, date: date(person.fields['agreed_at']) })}</p>
      <${AtThumb}><button type="button" class="button primary" onClick=${() => setShown(true)}>
        ${t('table.carry_show', { who })}</button><//>`
    }
  <//>`;
}
