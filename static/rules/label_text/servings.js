// What a price in a list is of: a glass, a carafe or a bottle.
import { amountOf, CURRENCY, ONE_PRICE, PRICE } from './amounts.js';

/** What stands between a price and "bottle" or "glass". */
const FOR_EACH = '(?<!\\p{L})(?:(?:à la|alla|al|au|a|la|le|il|the|by the|per|par|pro|je)\\s)?\\b';
export const GLASS = new RegExp(
  `${FOR_EACH}(?:${[
    'glass|verre|calice|bicchiere|glas',
    '0[.,]1\\s?l|0[.,]125\\s?l|0[.,]15\\s?l|(?:125|150|175)\\s?ml|(?:10|12[.,]5|15)\\s?cl',
  ].join('|')})\\b`,
  'giu',
);
export const CARAFE = new RegExp(
  `${FOR_EACH}(?:carafe|caraffa|karaffe|pichet|(?:250|500)\\s?ml|(?:25|50)\\s?cl|0[.,]25\\s?l|0[.,]50?\\s?l)\\b`,
  'giu',
);
export const BOTTLE = new RegExp(
  `${FOR_EACH}(?:bottle|bouteille|bottiglia|flasche|btl|bt|fl|0[.,]75\\s?lt?|75\\s?cl|750\\s?ml)\\b\\.?`,
  'giu',
);
const OTHER_BOTTLE = `${FOR_EACH}(?:magnum|half[ -]bottle|half|demi[ -]bouteille|demie|mezza bottiglia|mezza)\\b`;
export const EACH = new RegExp(
  `(?<=(?:${CURRENCY}(?:\\s?\\d{1,4})?|[.,]\\d{2})\\s?(?:/\\s?)?)(?:${[
    "each|ea|(?:la )?pièce|chacune?|l['\u2019]un[ae]|l['\u2019]unité|cad(?:aun[ao])?|(?:al )?pezzo|(?:pro )?stück",
  ].join('|')})(?!\\p{L})\\.?(?!\\s\\p{L})`,
  'giu',
);

const SERVINGS = [GLASS, CARAFE, BOTTLE];
const SERVING = `(?:${SERVINGS.map(({ source }) => source).join('|')})`;
const PARTS = new RegExp(
  [
    `(?<other>${OTHER_BOTTLE})`,
    ...['glass', 'carafe', 'bottle'].map((name, at) => `(?<${name}>${SERVINGS[at]?.source})`),
    `(?<price>${ONE_PRICE})`,
  ].join('|'),
  'giu',
);
const COMMA_BETWEEN = new RegExp(
  `(${ONE_PRICE}\\s?${SERVING}|${SERVING}\\s?${ONE_PRICE}),(?=\\s+(?:${SERVING}|${ONE_PRICE}))`,
  'giu',
);

/** Take out the commas between the prices of a glass and a bottle, which part no columns. @param {string} text */
export function withoutCommasBetween(text) {
  return text.replace(COMMA_BETWEEN, '$1');
}

/** @param {string} text */
export function withoutServings(text) {
  return SERVINGS.reduce((left, form) => left.replace(form, ' '), text);
}

/**
 * Return the prices of a line in which each has its word, all before their prices or all behind them.
 * @param {string} text
 * @returns {{ price: number, glass: number | null, left: string } | null} null if it has no such prices, or none of a
 *   bottle
 */
export function servedPrices(text) {
  /** @type {{ kind: string, amount: number }[]} */
  const parts = [];
  for (const { groups = {} } of text.matchAll(PARTS)) {
    const kind = Object.keys(groups).find((name) => groups[name] !== undefined) ?? '';
    const isSame = kind !== 'price' && parts.length > 0 && parts.at(-1)?.kind !== 'price';
    // "Glass 175 ml" is one word for its price.
    if (!isSame)
      parts.push({ kind, amount: amountOf(/\d[\d.,'\u2019\s]*/.exec(groups['price'] ?? '')?.[0].trim() ?? '') });
  }
  const isPaired = parts.length > 2 && parts.length % 2 === 0;
  const first = parts[0]?.kind === 'price' ? 0 : 1;
  if (!isPaired || parts.some(({ kind }, at) => (kind === 'price') !== (at % 2 === first))) return null;
  const amounts = (/** @type {string} */ kind) =>
    parts.flatMap((part, at) => (part.kind === kind ? [parts[first ? at + 1 : at - 1]?.amount ?? 0] : []));
  const [price] = amounts('bottle');
  const glasses = amounts('glass');
  if (!price) return null;
  return { price, glass: glasses.length ? Math.min(...glasses) : null, left: text.replace(PARTS, ' ') };
}

/** @param {string} text @returns {boolean} whether it has more than one price */
export function hasPrices(text) {
  return [...text.matchAll(PRICE)].length > 1;
}
