// Says where the leader's own notes of the evening are: in the Book, or not yet.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { liveSignal } from '../../../store/queries.js';
import { countTastings, notInNotebook, ownTastings } from '../../../domain/table/own_notes.js';
import { keepOwnNotes } from '../end_table.js';

/** @param {{ table: import('../../../domain/table/table_records.js').TableRecords }} props */
export function OwnNotes({ table }) {
  const own = ownTastings(table, timestamp());
  const ids = own.map(({ id }) => id).join();
  const missing = useMemo(() => liveSignal(async () => countTastings(await notInNotebook(own)), null), [ids]).value;
  const count = countTastings(own);
  if (!count || missing === null) return null;
  if (!missing)
    return html`<p class="soft table-agreed">${t('table.own_in_book', { count })}
      ${' '}<a href="#/book">${t('table.own_see')}</a></p>`;
  return html`<div class="buttons"><button type="button" class="button" onClick=${() => keepOwnNotes(table)}>
    ${t('table.own_keep', { count: missing })}</button></div>`;
}
