// Page of probable duplicates, to be merged or marked as different.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { showToast } from '../../../components/layout/toast.js';
import { bottlesById, liveSignal } from '../../../store/queries.js';
import { saveMany } from '../../../store/write.js';
import { bottleLine, bottleName } from '../../../domain/bottle_names.js';
import { findDuplicates, markDistinct, mergeBottles } from './duplicates.js';
import { Row } from '../../../components/layout/row.js';

/** @typedef {import('../../../store/record.js').Row} Row */

export function DuplicatesPage() {
  const groups = useMemo(() => liveSignal(async () => findDuplicates([...(await bottlesById()).values()]), null), []);
  return html`<${Page} title=${t('book.twins_title')} back="/book/back">
    ${groups.value?.length === 0 && html`<p class="empty voice">${t('book.twins_none')}</p>`}
    ${groups.value?.map((group) => html`<${Duplicates} key=${keyOf(group)} group=${group} />`)}
  <//>`;
}

/** @param {{ group: Row[] }} props */
function Duplicates({ group }) {
  const merge = async () => {
    const undo = await mergeBottles(group);
    showToast(t('book.twins_merged', { name: bottleName(group[0]) }), undo);
  };
  const part = async () => {
    const back = await markDistinct(group);
    showToast(t('book.twins_left', { name: bottleName(group[0]) }), () => {
      saveMany(back);
    });
  };
  return html`<section class="tasting-step"><h2>${bottleName(group[0])}</h2>
    <ul class="ruled">${group.map(
      (row) => html`<li key=${row.id}>
        <${Row} href=${`#/book/bottle/${row.id}`} name=${bottleName(row)} line=${lineOf(row)} />
      </li>`,
    )}</ul>
    <div class="buttons"><button type="button" class="button plain" onClick=${part}>${t('book.twins_apart')}</button>
      <button type="button" class="button" onClick=${merge}>${t('book.twins_merge')}</button></div>
  </section>`;
}

/** @param {Row} row */
function lineOf(row) {
  return [row.fields['producer'], bottleLine(row)].filter(Boolean).join(' \u00b7 ') || t('book.nothing_more');
}

/** @param {Row[]} group */
function keyOf(group) {
  return group.map((row) => row.id).join(' ');
}
