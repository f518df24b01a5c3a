// Deletes a table, with a way back.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { showToast } from '../../components/layout/toast.js';
import { deleteTable } from '../../domain/table/edits.js';

/** @param {{ table: import('../../domain/table/table_records.js').TableRecords }} props */
export function DeleteTable({ table }) {
  const drop = async () => {
    const restore = await deleteTable(table);
    navigate('/table', { replace: true });
    showToast(t('table.deleted'), restore);
  };
  return html`<div class="buttons"><button type="button" class="button plain" onClick=${drop}>${t('table.delete')}
    </button></div>`;
}
