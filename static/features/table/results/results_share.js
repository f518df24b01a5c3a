// Takes the results away: one picture or a table for a spreadsheet, both made on this phone.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { number } from '../../../lib/format.js';
import { giveFiles } from '../../../domain/give_file.js';
import { FONTS, ruledScale, text } from '../../../domain/share/share_canvas.js';
import { head, renderBlocks } from '../../../domain/share/share_image.js';
import { tableName } from '../../../domain/table/table_name.js';
import { tableCsv } from './table_csv.js';

/**
 * @param {{ table: import('../../../domain/table/table_records.js').TableRecords, line: string, summary:
 *   import('../../../rules/table/table_summary.js').TableSummary, glass: (id: string) => string, guest: (id: string) =>
 *   string }} props line: when it was, who led, and who was there
 */
export function ResultsShare({ table, line, summary, glass, guest }) {
  const title = tableName(table.row?.fields ?? {});
  const asCsv = () =>
    giveFiles([new File([tableCsv(table, guest)], 'table.csv', { type: 'text/csv' })], t('table.share_csv_saved'));
  const asPicture = async () =>
    giveFiles(await renderBlocks(title, blocksOf(title, line, summary, glass)), t('book.share_saved'));
  return html`<section class="table-part share"><h2>${t('book.share')}</h2><div class="buttons">
    <button type="button" class="button" onClick=${asPicture}>${t('book.share_picture')}</button>
    <button type="button" class="button" onClick=${asCsv}>${t('table.share_csv')}</button>
    <button type="button" class="button" onClick=${() => print()}>${t('book.print')}</button></div></section>`;
}

/**
 * Draw the order of the glasses, with the middle liking of each on the line from 1 to 9, without names of guests.
 * @param {string} title
 * @param {string} line when it was, who led, and who was there
 * @param {import('../../../rules/table/table_summary.js').TableSummary} summary
 * @param {(id: string) => string} glass
 * @returns {import('../../../domain/share/share_image.js').Block[]}
 */
function blocksOf(title, line, { ranking }, glass) {
  const said =
    ranking.status === 'tested' ? t(`table.agreement_${ranking.reading}`) : t(`table.untested_${ranking.status}`);
  const scale = (/** @type {{ glass: string, median: number }} */ { glass: id, median }) => ({
    name: glass(id),
    low: t('liking.1'),
    high: t('liking.9'),
    value: ((median - 1) / 8) * 10,
    figure: number(median),
    mark: '',
    isRight: true,
  });
  return [
    (canvas2d, y) => head(canvas2d, title, [line], y),
    (canvas2d, y) => text(canvas2d, said, y + 24, FONTS.voice) + 30,
    ...ranking.order.map(
      (row) =>
        /** @type {import('../../../domain/share/share_image.js').Block} */
        ((canvas2d, y) => ruledScale(canvas2d, y, scale(row))),
    ),
  ];
}
