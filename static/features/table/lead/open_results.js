// Opens the results to the guests, who see nothing of them before; the end of the tasting opens them too.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { Row } from '../../../components/layout/row.js';
import { showToast } from '../../../components/layout/toast.js';
import { save } from '../../../store/write.js';

/** @param {{ table: import('../../../domain/table/table_records.js').TableRecords }} props */
export function OpenResults({ table }) {
  const id = table.row?.id ?? '';
  const isAnyShown = table.glasses.some(({ fields }) => fields['discussed_at']);
  if (!isAnyShown) return null;
  const isOpen = Boolean(table.row?.fields['results_at']);
  const set = (/** @type {string | null} */ results_at) => save('group_tasting', id, { results_at });
  const open = async () => {
    await set(timestamp());
    showToast(t('table.results_opened'), () => {
      set(null);
    });
  };
  return html`<li>${
    isOpen
      ? html`<p class="row"><span class="grow soft">${t('table.results_are_open')}</span></p>`
      : html`<${Row} name=${t('table.results_open')} line=${t('table.results_open_line')} onClick=${open} />`
  }</li>`;
}
