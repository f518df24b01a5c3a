// How many guests are done with the open step, who is not, and how many have noted anything; never what.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { list } from '../../../lib/format.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { doneAt } from '../../../domain/table/flow.js';
import { present } from '../../../domain/table/table_records.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { placeNotedLine } from '../noted_line.js';

/**
 * @param {{ table: import('../../../domain/table/table_records.js').TableRecords, place:
 *   import('../../../domain/table/flow.js').Place }} props
 */
export function DoneCount({ table, place }) {
  const count = present(table).length;
  if (!count) return html`<p class="table-answered soft">${t('table.nobody_yet')}</p>`;
  const isShown = table.glasses.some(({ id, fields }) => id === place.glass && fields['discussed_at']);
  // By place the guests have other glasses there.
  if (isShown && !isLedByPlace(table))
    return html`<p class="table-answered soft" role="status">${t('table.laid_open')}</p>`;
  const { done, tasting } = doneAt(table, place);
  const names = list(tasting.map(nameAmong(table.guests)));
  return html`<p class="table-answered" role="status"><span class="figure">${done}</span>
      <span>${t('table.done_of', { count })}</span></p>
    <p class="soft small">${tasting.length ? t('table.still_tasting', { names }) : t('table.everyone_done')}</p>
    <p class="soft small table-noted">${placeNotedLine(table, place)}</p>`;
}
