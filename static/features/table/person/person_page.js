// A person of the notebook: the palate learned from their answers, what it was learned from, and how to correct it.
import { html, useEffect, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { navigate } from '../../../router.js';
import { date } from '../../../lib/format.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { showToast } from '../../../components/layout/toast.js';
import { TextField } from '../../../components/form/field.js';
import { liveSignal } from '../../../store/queries.js';
import { personPalates, refreshPersonPalates } from '../../../store/palate_cache.js';
import { save } from '../../../store/write.js';
import { syncStatus } from '../../../sync/status.js';
import { agreedPeople, forgetPerson, goneWithPerson } from '../../../domain/table/people.js';
import { NO_PERSON, readPerson } from '../../../domain/table/person_records.js';
import { useOverlay } from '../../../domain/table/overlay.js';
import { Page } from '../../shell/page.js';
import { LearnedFrom } from './learned_from.js';
import { PersonPalate } from './person_palate.js';

/** @typedef {import('../../../domain/table/person_records.js').PersonRecords} PersonRecords */
/** @typedef {import('../../../store/record.js').Row} Row */

/** @param {string} id @returns {PersonRecords} follows changes */
export function usePerson(id) {
  return useMemo(() => liveSignal(() => readPerson(id), NO_PERSON), [id]).value;
}

/** @param {{ id: string }} props */
export function PersonPage({ id }) {
  const records = usePerson(id);
  const { person } = records;
  const { lastSynced } = syncStatus.value;
  useEffect(() => {
    // The documents of people who are not named here would be removed.
    agreedPeople().then((people) => refreshPersonPalates(people.map((one) => one.id)));
  }, [id, lastSynced]);
  if (!records.asked) return html`<${Page} title=${'\u00a0'} back="/table" trailing="" />`;
  if (!person || person.gone || !person.fields['agreed_at'])
    return html`<${Page} title=${t('table.people')} back="/table" trailing="">
      <p class="empty voice">${t('table.person_missing')}</p><//>`;
  const who = String(person.fields['name'] ?? '');
  return html`<${Page} title=${who} back="/table" trailing="">
    <${PersonPalate} who=${who} learned=${personPalates.value.get(id) ?? null} />
    <${LearnedFrom} who=${who} records=${records} />
    <${About} person=${person} who=${who} />
  <//>`;
}

/** @param {{ person: Row, who: string }} props */
function About({ person, who }) {
  const [fields, patch] = useOverlay(person.id, person.fields);
  const rename = (/** @type {string | null} */ name) => {
    patch({ name });
    // A person without a name would be nobody.
    return name?.trim() ? save('person', person.id, { name: name.trim() }) : undefined;
  };
  // Read before the tap, because a page that is closed loses an edit that waits for a read.
  const gone = useMemo(() => liveSignal(() => goneWithPerson(person.id), null), [person.id]).value;
  const forget = async () => {
    const undo = await forgetPerson(gone ?? (await goneWithPerson(person.id)));
    navigate('/table', { replace: true });
    showToast(t('table.person_forgotten', { name: who }), undo);
  };
  return html`<section class="table-part"><h2>${t('table.person_about')}</h2>
    <${TextField} label=${t('table.person_name')} value=${fields['name']} maxLength=${60} autocapitalize="words"
      onChange=${rename} />
    <p class="soft small">${t('table.person_agreed', { who, date: date(person.fields['agreed_at']) })}</p>
    <ul class="ruled"><li><${ArrowRow} href=${`#/table/person/${person.id}/carry`} name=${t('table.person_carry')}
      line=${t('table.person_carry_line')} /></li></ul>
    <div class="buttons"><button type="button" class="button plain" onClick=${forget}>
      ${t('table.person_forget', { name: who })}</button></div>
  </section>`;
}
