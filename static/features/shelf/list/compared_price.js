// Prices that can be compared. Without exchange rates, those of two currencies cannot.

/** @typedef {import('../../../store/record.js').Row} Row */

/**
 * Select the currency in which prices are compared: the usual one, in which a price without a currency counts too.
 * Another one takes its place only if every price is in it; of several others, none has more right than the rest.
 * @param {Row[]} picks
 * @param {string | null} usual
 * @returns {string | null}
 */
export function comparedCurrency(picks, usual) {
  const priced = picks.filter(({ fields }) => typeof fields['price'] === 'number');
  const [first = usual, ...others] = new Set(priced.map(({ fields }) => fields['currency'] ?? usual));
  return others.length ? usual : first;
}

/**
 * @param {Row} pick
 * @param {string | null} currency in which prices are compared
 * @returns {number | null} null without a price or in another currency
 */
export function comparedPrice({ fields: { price, currency: own } }, currency) {
  return typeof price === 'number' && (own ?? currency) === currency ? price : null;
}
