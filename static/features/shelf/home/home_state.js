// The bottles at home with the years to drink them.
import { bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { drinkingOf } from '../../../domain/drinking_text.js';
import { byUrgency } from '../../../rules/serving/drinking.js';
import { shelf } from '../list/shelf_state.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {ReturnType<typeof drinkingOf> & { stock: Row, bottle: Row | null }} Kept a bottle at home */

/** @returns {Kept[]} the most urgent first */
export function bottlesAtHome() {
  const { stock, bottles } = shelf.value;
  return stock
    .filter((row) => row.fields['count'] > 0)
    .map((row) => {
      const bottle = resolveBottle(bottles, row.fields['bottle']);
      return { stock: row, bottle, ...drinkingOf(row, bottle) };
    })
    .sort((a, b) => byUrgency(a, b) || bottleName(a.bottle).localeCompare(bottleName(b.bottle)));
}

/** @param {Kept[]} kept */
function countOf(kept) {
  return kept.reduce((sum, { stock }) => sum + stock.fields['count'], 0);
}

/** Return how many bottles there are, and how many of them should be drunk soon. @param {Kept[]} kept */
export function homeCounts(kept) {
  return { all: countOf(kept), soon: countOf(kept.filter(({ state }) => state === 'past' || state === 'soon')) };
}
