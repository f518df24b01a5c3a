// Finds the place in a photo from which a row of an imported list was read.
import { nameAndVintage, wordsOf } from './name_and_vintage.js';

/** @typedef {import('./list_photo.js').ReadList} ReadList */
/** @typedef {import('./import_rows.js').ParsedRow} ParsedRow */

/**
 * Return where a row was read. Rows of one name, such as the vintages of a wine, differ in vintage or price.
 * @param {ReadList[]} lists
 * @param {Pick<ParsedRow, 'bottle' | 'pick'>} row
 */
export function sourceOf(lists, { bottle, pick }) {
  const thisYear = new Date().getFullYear();
  const words = wordsOf(bottle['name']);
  const isNamed = (/** @type {ReadList['rows'][number]} */ { name, vintage }) =>
    wordsOf(nameAndVintage(name, vintage === null ? null : String(vintage), thisYear).name) === words;
  const named = lists.flatMap((list) => list.rows.filter(isNamed).map((read) => ({ list, read })));
  const alike = (/** @type {typeof named[number]} */ { read }) =>
    Number(read.vintage === (bottle['vintage'] ?? null)) + Number(read.price === (pick['price'] ?? null));
  const [best] = named.sort((a, b) => alike(b) - alike(a));
  return best ? { list: best.list, box: best.read.box } : null;
}
