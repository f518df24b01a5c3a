// Sentence with the first three bottles, to be read aloud.
import { html } from '../../../lib/ui.js';
import { list } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { likelihoodText } from './prediction_text.js';
import { priceText } from './pick_row.js';
import { companyPalates, isCompany } from './company_state.js';
import { shownPalate } from '../../shell/shown_palate.js';
import { ownLiking } from './sort.js';
import { palateModel, judged, sortKey, visibleRows } from './shelf_state.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

const MANY_ENOUGH = 2;
const BEST = 3;

export function TopThree() {
  const { inside } = visibleRows.value;
  const model = isCompany.value ? companyPalates.value.length : palateModel.value;
  if (!model || inside.length < MANY_ENOUGH) return null;
  const isOwn = judged.value && !isCompany.value && shownPalate.value === 'own';
  return html`<p class="voice best-three">${topThreeText(inside.slice(0, BEST), sortKey.value, isOwn)}</p>`;
}

/**
 * @param {ShelfRow[]} best at least one, in the order of the list
 * @param {string} order
 * @param {boolean} isOwn whether the chance is that of the owner
 */
function topThreeText(best, order, isOwn) {
  const [first, ...next] = best.map((row) => [bottleName(row.bottle), priceText(row.pick)].filter(Boolean).join(', '));
  // A wine with the owner's own rating needs no forecast.
  const score = best[0] && ownLiking(best[0]) === null ? best[0].score : null;
  const opening = t(`shelf.first_${order}`, { name: first ?? '' });
  const sentence =
    score && isOwn ? t('shelf.first_with_chance', { first: opening, chance: likelihoodText(score) }) : `${opening}.`;
  return next.length ? `${sentence} ${t('shelf.best_then', { names: list(next) })}` : sentence;
}
