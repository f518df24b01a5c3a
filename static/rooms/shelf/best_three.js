// The best three in one sentence that can be read aloud in a shop.
import { html } from '../../ui.js';
import { list } from '../../formats.js';
import { t } from '../../words.js';
import { bottleName } from '../book/bottle_words.js';
import { expectedPoint } from './certainty.js';
import { inOrder } from './order.js';
import { priceSaid } from './row.js';
import { compact, view } from './shelf_state.js';

/** @typedef {import('./rows.js').ShelfRow} ShelfRow */

const MANY_ENOUGH = 2;
const BEST = 3;

export function BestThree() {
  const { looking } = view.value;
  if (!compact.value || looking.length < MANY_ENOUGH) return null;
  const best = inOrder(looking, 'liking').slice(0, BEST);
  return html`<p class="voice best-three">${bestSaid(best)}</p>`;
}

/** @param {ShelfRow[]} best the likeliest first, at least one */
export function bestSaid(best) {
  const [first, ...next] = best.map((row) => [bottleName(row.bottle), priceSaid(row.pick)].filter(Boolean).join(', '));
  const point = best[0]?.score ? expectedPoint(best[0].score) : 5;
  const opening = t(point >= 6 ? 'shelf.best_first' : 'shelf.best_of_these', { name: first ?? '', liking: t(`liking.${point}`) });
  return next.length ? `${opening} ${t('shelf.best_then', { names: list(next) })}` : opening;
}
