// The first three of the chosen order in one sentence that can be read aloud in a shop.
import { html } from '../../../lib/ui.js';
import { list } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { chanceWord } from './prediction_text.js';
import { priceSaid } from './pick_row.js';
import { compact, judged, orderNow, view } from './shelf_state.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

const MANY_ENOUGH = 2;
const BEST = 3;

export function BestThree() {
  const { looking } = view.value;
  if (!compact.value || looking.length < MANY_ENOUGH) return null;
  return html`<p class="voice best-three">${bestSaid(looking.slice(0, BEST), orderNow.value, judged.value)}</p>`;
}

/** @param {ShelfRow[]} best at least one, in the order of the list @param {string} order @param {boolean} isJudged */
function bestSaid(best, order, isJudged) {
  const [first, ...next] = best.map((row) => [bottleName(row.bottle), priceSaid(row.pick)].filter(Boolean).join(', '));
  const score = best[0]?.score;
  const opening = t(`shelf.first_${order}`, { name: first ?? '' });
  const sentence = score && isJudged ? t('shelf.first_with_chance', { first: opening, chance: inSentence(chanceWord(score)) }) : `${opening}.`;
  return next.length ? `${sentence} ${t('shelf.best_then', { names: list(next) })}` : sentence;
}

/** The verdict of the row, in the middle of a sentence. @param {string} words */
function inSentence(words) {
  return words.charAt(0).toLocaleLowerCase() + words.slice(1);
}
