// Sentence with the first three bottles, to be read aloud.
import { html } from '../../../lib/ui.js';
import { list } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { likelihoodText } from './prediction_text.js';
import { priceText } from './pick_row.js';
import { palateModel, judged, sortKey, visibleRows } from './shelf_state.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

const MANY_ENOUGH = 2;
const BEST = 3;

export function TopThree() {
  const { inside } = visibleRows.value;
  if (!palateModel.value || inside.length < MANY_ENOUGH) return null;
  return html`<p class="voice best-three">${topThreeText(inside.slice(0, BEST), sortKey.value, judged.value)}</p>`;
}

/**
 * @param {ShelfRow[]} best at least one, in the order of the list
 * @param {string} order
 * @param {boolean} isJudged
 */
function topThreeText(best, order, isJudged) {
  const [first, ...next] = best.map((row) => [bottleName(row.bottle), priceText(row.pick)].filter(Boolean).join(', '));
  const score = best[0]?.score;
  const opening = t(`shelf.first_${order}`, { name: first ?? '' });
  const sentence =
    score && isJudged ? t('shelf.first_with_chance', { first: opening, chance: likelihoodText(score) }) : `${opening}.`;
  return next.length ? `${sentence} ${t('shelf.best_then', { names: list(next) })}` : sentence;
}
