// Notes deleted lately (`deletedKeptDays`), each with a button to restore it. Works offline.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { date } from '../../../lib/format.js';
import { deletedTastings } from '../../../store/deleted_tastings.js';
import { bottlesByIds, liveSignal } from '../../../store/queries.js';
import { clockMs } from '../../../store/hlc.js';
import { deletedKeptDays } from '../../../store/record.js';
import { restoreNote } from '../../../domain/blind/remove_note.js';
import { showToast } from '../../../components/layout/toast.js';
import { bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { localDateTime } from '../../../lib/datetime.js';
import { Page } from '../../shell/page.js';
import { RowText } from '../../../components/layout/row.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {{ row: Row, name: string }} Deleted */

/** @returns {Promise<Deleted[]>} */
async function readAll() {
  const rows = await deletedTastings();
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.map((row) => ({ row, name: bottleName(resolveBottle(bottles, row.fields['bottle'])) }));
}

export function DeletedPage() {
  const found = useMemo(() => liveSignal(readAll, /** @type {Deleted[] | null} */ (null)), []).value;
  return html`<${Page} title=${t('book.deleted_title')} back="/book">
    ${found?.length === 0 && html`<p class="voice guide">${t('book.deleted_none')}</p>`}
    <p class="soft small">${t('book.deleted_note', { count: deletedKeptDays })}</p>
    <ul class="ruled deleted-notes" aria-label=${t('book.deleted_title')}>
      ${(found ?? []).map(({ row, name }) => html`<${DeletedNote} key=${row.id} row=${row} name=${name} />`)}
    </ul>
  <//>`;
}

/** @param {Deleted} props */
function DeletedNote({ row, name }) {
  const { tasted_at } = row.fields;
  const tasted = tasted_at ? date(localDateTime(tasted_at)) : t('book.no_day');
  const putBack = async () => {
    await restoreNote(row);
    showToast(t('book.restored', { name }));
  };
  return html`<li class="row">
    <${RowText} name=${name} line=${t('book.deleted_on', { tasted, deleted: date(deletedAt(row)) })} />
    <button type="button" class="button" onClick=${putBack} aria-label=${t('book.restore_name', { name })}>
      ${t('book.restore')}
    </button>
  </li>`;
}

/** @param {Row} row */
function deletedAt({ deleted_clock }) {
  return new Date(clockMs(/** @type {string} */ (deleted_clock))).toISOString();
}
