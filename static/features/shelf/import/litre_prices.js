// The price of a litre in a list: shops print it beside that of the bottle, restaurants alone, for wine in carafes.
import {
  amountOf,
  CURRENCY,
  OF_A_LITRE,
  UNIT_PRICES,
  withoutUnitPrices,
  YEAR,
} from '../../../rules/label_text/amounts.js';

const CONTENTS = /(?<![\d.,/])(\d{1,4}(?:[.,]\d{1,3})?)\s?(m|c|d|)l(?:it(?:re|er|ro)s?|t)?(?![\p{L}\d])/giu;
const ML = /** @type {Record<string, number>} */ ({ m: 1, c: 10, d: 100, '': 1000 });
const ALCOHOL = /\d{1,2}(?:[.,]\d)?\s?[%°º]/g;
const SIGN = new RegExp(CURRENCY, 'iu');

/**
 * Take out the prices of a litre, except where a line has no other number that may be its price. There it becomes the
 * price of the contents; if the line does not state them, it stays, and is none of a bottle.
 * @param {string} text
 */
export function withoutLitrePrices(text) {
  return text.replace(/.+/g, (line) => {
    const rest = withoutUnitPrices(line);
    if (/\d/.test([CONTENTS, YEAR, ALCOHOL].reduce((left, form) => left.replace(form, ' '), rest))) return rest;
    const [only, another] = [...rest.matchAll(CONTENTS)];
    if (!only || another) return line;
    const ml = Number(only[1]?.replace(',', '.')) * (ML[String(only[2]).toLowerCase()] ?? 0);
    return line.replace(UNIT_PRICES, (written) => ofContents(written, ml));
  });
}

/** @param {string} written price of a litre @param {number} ml @returns {string} as written if it is in pence */
function ofContents(written, ml) {
  const money = written.replace(OF_A_LITRE, ' ');
  const amount = money.match(/\d[\d.,]*/g)?.at(-1) ?? '';
  if (/\dp/.test(money)) return written;
  const unit = /100/.test(OF_A_LITRE.exec(written)?.[0] ?? '') ? 100 : 1000;
  return ` ${((amountOf(amount) * ml) / unit).toFixed(2)} ${SIGN.exec(money)?.[0] ?? ''}`;
}
