// Takes the results away: one picture or a table for a spreadsheet, both made on this phone.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { number } from '../../../lib/format.js';
import { giveFile } from '../../../domain/give_file.js';
import { renderShareImage } from '../../../domain/share_image.js';
import { tableName } from '../../../domain/table/table_name.js';
import { tableCsv } from './table_csv.js';

/**
 * @param {{ table: import('../../../domain/table/table_records.js').TableRecords, summary:
 *   import('../../../rules/table/table_summary.js').TableSummary, glass: (id: string) => string, guest: (id: string) =>
 *   string }} props
 */
export function ResultsShare({ table, summary, glass, guest }) {
  const title = tableName(table.row?.fields ?? {});
  const asCsv = () =>
    giveFile(new File([tableCsv(table, guest)], 'table.csv', { type: 'text/csv' }), t('table.share_csv_saved'));
  const asPicture = async () =>
    giveFile(await renderShareImage(pictureOf(title, summary, glass)), t('book.share_saved'));
  return html`<section class="table-part share"><h2>${t('book.share')}</h2><div class="buttons">
    <button type="button" class="button" onClick=${asPicture}>${t('book.share_picture')}</button>
    <button type="button" class="button" onClick=${asCsv}>${t('table.share_csv')}</button>
    <button type="button" class="button" onClick=${() => print()}>${t('book.print')}</button></div></section>`;
}

/**
 * The order of the glasses, with the middle liking of each on the line from 1 to 9. No names of guests.
 * @param {string} title
 * @param {import('../../../rules/table/table_summary.js').TableSummary} summary
 * @param {(id: string) => string} glass
 * @returns {import('../../../domain/share_image.js').ShareData}
 */
function pictureOf(title, { counts, ranking }, glass) {
  const figures = { w: number(ranking.w ?? 0, 2) };
  return {
    title,
    lines: [t('table.counts', { guests: counts.guests, glasses: counts.glasses })],
    aromas: [],
    scales: ranking.order.map(({ glass: id, median }) => ({
      name: glass(id),
      low: t('liking.1'),
      high: t('liking.9'),
      value: ((median - 1) / 8) * 10,
    })),
    liking: '',
    words:
      ranking.status === 'tested'
        ? `${t(`table.agreement_${ranking.reading}`)} ${t('table.agreement_w', figures)}`
        : t(`table.untested_${ranking.status}`),
  };
}
