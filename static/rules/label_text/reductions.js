// The earlier price of a reduced bottle: "was £50 now £45", "45 € au lieu de 50 €".
import { amountOf, CURRENCY, ONE_PRICE, PRICE } from './amounts.js';

const WORD = (/** @type {string} */ words) => `(?<!\\p{L})(?:${words})(?!\\p{L})`;
const EARLIER = WORD(
  [
    'was|reduced from|down from|instead of|rrp|au lieu d[eu]|prix conseillé|anzich[éè]|invece (?:di|che)|prezzo pieno',
    'statt|uvp',
  ].join('|'),
);
/** Words that may end a name, and mean an earlier price only where one for now follows. */
const BEFORE = WORD('before|avant|prima');
const NOW = WORD('now(?: only)?|maintenant|désormais|ora|adesso|jetzt');
const OFFER = WORD('(?:special |on )?offer|sale|(?:en )?promo(?:tion)?|(?:in )?(?:offerta|promozione|sconto)|soldé');
const GAP = '[ \\u00a0\\u202f]*';
/** A comma without a space behind it parts columns. */
const BETWEEN = `${GAP}(?:,(?=\\s)|[;/:(\u2013\u2014-](?=\\s))?[^\\S\\n]*(\\n?)[^\\S\\n]*`;
const FIGURE = `(?:${ONE_PRICE}|\\d{1,4}(?![\\d.,%]))`;

const form = (/** @type {string} */ text) => new RegExp(text, 'giu');
const EARLIER_NOW = form(`(?:${EARLIER}|${BEFORE})${GAP}:?${GAP}${FIGURE}${BETWEEN}${NOW}${GAP}:?${GAP}(${FIGURE})`);
const PRICE_NOW = form(`${ONE_PRICE}${BETWEEN}(?:${NOW}${GAP}:?|\u2192|->)${GAP}(${ONE_PRICE})`);
const EARLIER_PRICE = form(`\\(?${EARLIER}${GAP}:?${GAP}${ONE_PRICE}(?:${GAP}\\))?`);
const TWO_ON_OFFER = form(`(${ONE_PRICE})${GAP}/?${GAP}(${ONE_PRICE})${GAP}${OFFER}`);
const WORD_NEXT_TO_IT = form(`(?:${NOW}|${OFFER})${GAP}:?${GAP}(?=${ONE_PRICE})|(?<=${CURRENCY}|\\d)${GAP}${OFFER}`);
const MOST_REDUCED = 0.4;

/**
 * Take out the earlier prices of reduced bottles, with the words beside them. No line is added or removed.
 * @param {string} text
 */
export function withoutEarlierPrices(text) {
  return text
    .replace(EARLIER_NOW, '$1$2')
    .replace(PRICE_NOW, '$1$2')
    .replace(TWO_ON_OFFER, (whole, earlier, now) => (isReduced(earlier, now) ? now : whole))
    .replace(/.+/g, withoutEarlier);
}

/** @param {string} line @returns {string} as it was if it has no other price */
function withoutEarlier(line) {
  const left = line.replace(EARLIER_PRICE, '');
  return left !== line && left.search(PRICE) >= 0 ? left.replace(WORD_NEXT_TO_IT, '') : line;
}

/** Tell a reduced price from that of a glass. @param {string} earlier @param {string} now */
function isReduced(earlier, now) {
  const [before, after] = [earlier, now].map((price) => amountOf(price.match(/\d[\d.,'\u2019]*/)?.[0] ?? ''));
  return Number(after) < Number(before) && Number(after) > Number(before) * MOST_REDUCED;
}
