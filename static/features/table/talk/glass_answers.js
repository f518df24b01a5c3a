// The answers of all guests for one glass, from the leader's records.
import { html } from '../../../lib/ui.js';
import { glassSummary } from '../../../rules/table/glass_summary.js';
import { sheetGrid } from '../../../rules/table/sheet_grid.js';
import { AnswersView } from '../../../domain/table/answers_view.js';
import { ledTable } from '../../../domain/table/led_table.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords, glass: import('../../../store/record.js').Row }} props */
export function GlassAnswers({ table, glass }) {
  const input = ledTable(table);
  const of = input.glasses.find(({ id }) => id === glass.id);
  if (!of) return null;
  const summary = glassSummary(sheetGrid(input), of);
  const nameOf = (/** @type {string} */ guest) =>
    table.row?.fields['names_shown'] ? (input.guests.find(({ id }) => id === guest)?.name ?? null) : null;
  return html`<${AnswersView} summary=${summary} nameOf=${nameOf} />`;
}
