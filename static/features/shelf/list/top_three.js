// Sentence with the first three bottles, to be read aloud.
import { html } from '../../../lib/ui.js';
import { list } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { likelihoodText } from './prediction_text.js';
import { priceText } from './pick_text.js';
import { companyPalates, isCompany } from './company_state.js';
import { shownPalate } from '../../shell/shown_palate.js';
import { ownLiking } from './sort.js';
import { isYoung, palateModel, judged, sortKey, visibleRows } from './shelf_state.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

const MANY_ENOUGH = 2;
const BEST = 3;
const BY_PRICE = ['price', 'value'];

export function TopThree() {
  const { inside } = visibleRows.value;
  const model = isCompany.value ? companyPalates.value.length : palateModel.value;
  if (!model || inside.length < MANY_ENOUGH) return null;
  const isOwn = judged.value && !isCompany.value && shownPalate.value === 'own';
  const text = topThreeText(inside.slice(0, BEST), sortKey.value, isOwn);
  return text && html`<p class="voice best-three">${text}</p>`;
}

/**
 * @param {ShelfRow[]} best at least one, in the order of the list
 * @param {string} order
 * @param {boolean} isOwn whether the chance is that of the owner
 * @returns {string} empty if the order is by price and no price can be compared
 */
export function topThreeText(best, order, isOwn) {
  const compared = BY_PRICE.includes(order) ? best.filter(({ price }) => price !== null) : best;
  const named = compared.map((row) => [bottleName(row.bottle), priceText(row.pick)].filter(Boolean).join(', '));
  const [first, ...next] = named;
  if (first === undefined) return '';
  // A wine with the owner's own rating needs no forecast.
  const score = best[0] && ownLiking(best[0]) === null ? best[0].score : null;
  const opening = t(`shelf.first_${order}`, { name: first });
  const chance = score && isOwn && likelihoodText(score, palateModel.value.noise_var, isYoung.value);
  const sentence = chance ? t('shelf.first_with_chance', { first: opening, chance }) : `${opening}.`;
  return next.length ? `${sentence} ${t('shelf.best_then', { names: list(next) })}` : sentence;
}
