// The answers of all guests for one glass, from the leader's notebook.
import { html } from '../../../lib/ui.js';
import { glassSummary } from '../../../rules/table/glass_summary.js';
import { sheetGrid } from '../../../rules/table/sheet_grid.js';
import { AnswersView } from '../../../domain/table/answers_view.js';
import { ledTable } from '../../../domain/table/led_table.js';

/**
 * @param {{ table: import('../../../domain/table/table_records.js').TableRecords, glass:
 *   import('../../../store/record.js').Row }} props
 */
export function GlassAnswers({ table, glass }) {
  const input = ledTable(table);
  const of = input.glasses.find(({ id }) => id === glass.id);
  const nameOf = (/** @type {string} */ guest) =>
    table.row?.fields['names_shown'] ? (input.guests.find(({ id }) => id === guest)?.name ?? null) : null;
  return of ? html`<${AnswersView} summary=${glassSummary(sheetGrid(input), of)} nameOf=${nameOf} />` : null;
}
