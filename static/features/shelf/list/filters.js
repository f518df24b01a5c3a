// Filters of the shelf: price, colour, kind, style, sweetness, not tasted yet; and the preferred
// alcohol.
import { sweetnessGroup } from './sweetness_group.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */
/**
 * @typedef {object} Filters
 * @property {number | null} price_high in the currency of `price` of a row
 * @property {string[]} colours
 * @property {string[]} kinds
 * @property {string | null} style
 * @property {import('./sweetness_group.js').SweetnessGroup | null} sweetness
 * @property {boolean} untasted
 */

/** @type {Filters} */
export const NO_FILTERS = { price_high: null, colours: [], kinds: [], style: null, sweetness: null, untasted: false };

/** @param {Filters} by */
export function isFiltered(by) {
  return (
    by.price_high !== null ||
    by.colours.length > 0 ||
    by.kinds.length > 0 ||
    by.style !== null ||
    by.sweetness !== null ||
    by.untasted
  );
}

/**
 * Tell whether a row passes the filters. A row without a value passes, such as one with a price in another currency.
 * @param {ShelfRow} row
 * @param {Filters} by
 */
export function matches(row, by) {
  const { price, label, before } = row;
  return (
    !(by.price_high !== null && price !== null && price > by.price_high) &&
    among(label['colour'], by.colours) &&
    among(label['kind'], by.kinds) &&
    (by.style === null || label['style'] === by.style) &&
    (by.sweetness === null || [by.sweetness, null].includes(sweetnessGroup(label))) &&
    !(by.untasted && before.length > 0)
  );
}

/**
 * Tell whether a row is collapsed below the list: the label is outside the preferred range or, with
 * `strict`, may lawfully be. Rows without a number stay.
 * @param {Pick<ShelfRow, 'position' | 'range'>} row
 * @param {boolean} strict
 */
export function isOutside({ position, range }, strict) {
  return position === 'outside' || (strict && range.known && position === 'may_stray');
}

/** @param {string | null | undefined} value @param {string[]} chosen */
function among(value, chosen) {
  return chosen.length === 0 || !value || chosen.includes(value);
}
