// Page of probable duplicates, to be merged or marked as different.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { showToast } from '../../../components/layout/toast.js';
import { liveSignal } from '../../../store/queries.js';
import { saveMany } from '../../../store/write.js';
import { bottleLine, bottleName } from '../../../domain/bottle_names.js';
import { duplicateGroups, markDistinct, mergeBottles } from './duplicates.js';
import { Row } from '../../../components/layout/row.js';

/** @typedef {import('../../../store/record.js').Row} BottleRow */
/** @typedef {import('./duplicates.js').Group} Group */

export function DuplicatesPage() {
  const groups = useMemo(() => liveSignal(duplicateGroups, /** @type {Group[] | null} */ (null)), []);
  return html`<${Page} title=${t('book.twins_title')} back="/book/back">
    ${groups.value?.length === 0 && html`<p class="empty voice">${t('book.twins_none')}</p>`}
    ${groups.value?.map((group) => html`<${Duplicates} key=${keyOf(group.rows)} group=${group} />`)}
  <//>`;
}

/** @param {{ group: Group }} props */
function Duplicates({ group }) {
  const { rows } = group;
  const name = bottleName(rows[0]);
  const merge = async () => {
    const undo = await mergeBottles(group);
    showToast(t('book.twins_merged', { name }), undo);
  };
  const part = async () => {
    const back = await markDistinct(rows);
    showToast(t('book.twins_left', { name }), () => {
      saveMany(back);
    });
  };
  return html`<section class="tasting-step"><h2>${name}</h2>
    <ul class="ruled">${rows.map(
      (row) => html`<li key=${row.id}>
        <${Row} href=${`#/book/bottle/${row.id}`} name=${bottleName(row)} line=${lineOf(row)} />
      </li>`,
    )}</ul>
    <div class="buttons"><button type="button" class="button plain" onClick=${part}>${t('book.twins_apart')}</button>
      <button type="button" class="button" onClick=${merge}>${t('book.twins_merge')}</button></div>
  </section>`;
}

/** @param {BottleRow} row */
function lineOf(row) {
  return [row.fields['producer'], bottleLine(row)].filter(Boolean).join(' \u00b7 ') || t('book.nothing_more');
}

/** @param {BottleRow[]} rows */
function keyOf(rows) {
  return rows.map((row) => row.id).join(' ');
}
