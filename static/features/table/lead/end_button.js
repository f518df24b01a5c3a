// Ends the tasting; asks first while guests have not been shown all answers and labels.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { tableMoment } from '../../../domain/table/moment.js';
import { answersNotShown, labelsNotShown, showAll } from '../../../domain/table/not_shown.js';
import { endTable } from '../end_table.js';
import { marksOf } from '../marks.js';
import { newest } from '../newest.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function EndButton({ table }) {
  const [isAsking, setAsking] = useState(false);
  const id = table.row?.id ?? '';
  const answers = answersNotShown(table);
  const labels = labelsNotShown(table);
  const [isBusy, setBusy] = useState(false);
  const newestTable = async () => {
    setBusy(true);
    return newest(table).finally(() => setBusy(false));
  };
  const press = async () => {
    const now = await newestTable();
    if (answersNotShown(now).length || labelsNotShown(now).length) setAsking(true);
    else await endTable(id);
  };
  const showAndEnd = async () => endTable(id, showAll(await newestTable(), tableMoment()));
  return html`<div class="buttons"><button type="button" class="button plain" disabled=${isBusy} onClick=${press}>
      ${t('table.end')}</button></div>
    <${Sheet} title=${t('table.end_ask')} open=${isAsking} onClose=${() => setAsking(false)}>
      <div class="table-ask">${answers.length > 0 && html`<p>${t('table.end_answers', marksOf(answers))}</p>`}
      ${labels.length > 0 && html`<p>${t('table.end_labels', marksOf(labels))}</p>`}
      ${!table.row?.fields['results_at'] && html`<p class="soft">${t('table.end_note')}</p>`}
      <div class="buttons"><button type="button" class="button primary" disabled=${isBusy} onClick=${showAndEnd}>
          ${t('table.end_show')}</button>
        <button type="button" class="button" disabled=${isBusy} onClick=${() => endTable(id)}>
          ${t('table.end_without')}</button></div></div><//>`;
}
