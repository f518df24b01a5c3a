// Opens the results to the guests, who see nothing of them before; the end of the tasting opens them too. The leader
// is told first what guests will see, and chooses what happens with covered labels.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Row } from '../../../components/layout/row.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { showToast } from '../../../components/layout/toast.js';
import { tableMoment } from '../../../domain/table/moment.js';
import { labelsNotShown, revealAll } from '../../../domain/table/not_shown.js';
import { glassesFor } from '../../../domain/table/table_records.js';
import { marksOf } from '../marks.js';
import { saveAndSend } from '../save_and_send.js';

/** @typedef {import('../../../store/record.js').Row} GlassRow */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function OpenResults({ table }) {
  const [isAsking, setAsking] = useState(false);
  const id = table.row?.id ?? '';
  const isAnyShown = table.glasses.some(({ fields }) => fields['discussed_at']);
  if (!isAnyShown) return null;
  const close = () => setAsking(false);
  const hide = () => saveAndSend([{ kind: 'group_tasting', id, fields: { results_at: null } }]);
  if (table.row?.fields['results_at'])
    return html`<li><p class="row"><span class="grow soft">${t('table.results_are_open')}</span>
      <button type="button" class="button plain" onClick=${hide}>${t('table.results_hide')}</button></p></li>`;
  return html`<li><${Row} name=${t('table.results_open')} line=${t('table.results_open_line')}
      onClick=${() => setAsking(true)} />
    <${Sheet} title=${t('table.results_open')} open=${isAsking} onClose=${close}>
      <${Offer} table=${table} onClose=${close} /><//></li>`;
}

/** @param {{ table: TableRecords, onClose: () => void }} props */
function Offer({ table, onClose }) {
  const glasses = glassesFor(table);
  const shown = glasses.filter(({ fields }) => fields['discussed_at']);
  const waiting = glasses.filter(({ fields }) => !fields['discussed_at']);
  const covered = labelsNotShown(table).filter((glass) => shown.includes(glass));
  const open = async (/** @type {GlassRow[]} */ uncovered) => {
    onClose();
    await saveAndSend(edits(table, tableMoment(), uncovered));
    showToast(t('table.results_opened'), () => {
      saveAndSend(edits(table, null, uncovered));
    });
  };
  return html`<div class="table-ask"><p>${t('table.results_see', marksOf(shown))}</p>
    ${waiting.length > 0 && html`<p class="soft">${t('table.results_not', marksOf(waiting))}</p>`}
    ${covered.length > 0 && html`<p class="notice">${t('table.results_covered', marksOf(covered))}</p>`}
    <div class="buttons"><button type="button" class="button primary" onClick=${() => open([])}>
        ${t('table.results_show')}</button>
      ${
        covered.length > 0 &&
        html`<button type="button" class="button" onClick=${() => open(covered)}>${t('table.results_uncover')}</button>`
      }</div></div>`;
}

/** @param {TableRecords} table @param {string | null} moment null: hide all again @param {GlassRow[]} uncovered */
function edits(table, moment, uncovered) {
  const head = { kind: /** @type {const} */ ('group_tasting'), id: table.row?.id ?? '' };
  return [{ ...head, fields: { results_at: moment } }, ...revealAll(uncovered, moment)];
}
