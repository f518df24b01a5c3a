// Summarizes the answers that the leader has laid open. Where names are not shown, nothing tells whose they are.
import { glassSummary } from '../../rules/table/glass_summary.js';
import { sheetGrid } from '../../rules/table/sheet_grid.js';
import { glassMark } from './place.js';

/**
 * @param {import('./guest_store.js').View} view
 * @param {import('./place.js').GuestGlass} glass
 * @returns {{ summary: import('../../rules/table/table_summary.js').GlassSummary, nameOf: (guest: string) => string |
 *   null }}
 */
export function summaryOf(view, glass) {
  const { id, bottle, answers = [] } = glass;
  const guests = answers.map(({ name }, at) => ({ id: String(at), name: name ?? '' }));
  const sheets = answers.map(({ fields }, at) => ({ glass: id, guest: String(at), fields }));
  const led = { id, mark: glassMark(glass), bottle: bottle ?? null };
  const isNamed = view['table']?.names_shown === true;
  return {
    summary: glassSummary(sheetGrid({ glasses: [led], guests, sheets }), led),
    nameOf: (guest) => (isNamed && guests[Number(guest)]?.name) || null,
  };
}
