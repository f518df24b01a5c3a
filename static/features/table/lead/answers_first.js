// Offers to show the answers of the present glass before the leader goes on to another one.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { list } from '../../../lib/format.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { doneAt, openIndex, places } from '../../../domain/table/flow.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { goAfter } from '../go_after.js';
import { showWithUndo } from '../show_with_undo.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/**
 * @param {{ table: TableRecords, glass: import('../../../store/record.js').Row | null, onGo: () => void, onClose: () =>
 *   void }} props glass: null while closed
 */
export function AnswersFirst({ table, glass, onGo, onClose }) {
  const mark = glass?.fields['mark'] ?? '';
  return html`<${Sheet} title=${t('table.first_show', { mark })} open=${glass !== null} onClose=${onClose}>
    ${glass && html`<${Offer} table=${table} glass=${glass} onGo=${onGo} onClose=${onClose} />`}<//>`;
}

/**
 * @param {{ table: TableRecords, glass: import('../../../store/record.js').Row, onGo: () => void, onClose: () => void
 *   }} props
 */
function Offer({ table, glass, onGo, onClose }) {
  const place = places(table)[openIndex(table)];
  const tasting = place ? doneAt(table, place).tasting : [];
  const show = () => {
    onClose();
    return goAfter(showWithUndo(table, glass), `/table/${table.row?.id}/talk/${glass.id}`);
  };
  return html`<div class="table-ask"><p class="soft">${t('table.first_note')}</p>
    ${
      tasting.length > 0 &&
      html`<p class="soft small">${t('table.still_tasting', { names: list(tasting.map(nameAmong(table.guests))) })}</p>`
    }
    <div class="buttons"><button type="button" class="button primary" onClick=${show}>${t('table.lay_open')}</button>
      <button type="button" class="button" onClick=${onGo}>${t('table.first_without')}</button></div></div>`;
}
