// Finds the place in a photo from which a row of an imported list was read.

/** @typedef {import('./list_photo.js').ReadList} ReadList */
/** @typedef {import('./import_rows.js').ParsedRow} ParsedRow */

/**
 * Return where a row was read. Rows of one name, such as the vintages of a wine, differ in vintage or price.
 * @param {ReadList[]} lists
 * @param {Pick<ParsedRow, 'bottle' | 'pick'>} row
 */
export function sourceOf(lists, { bottle, pick }) {
  const named = lists.flatMap((list) =>
    list.rows.filter(({ name }) => name === bottle['name']).map((read) => ({ list, read })),
  );
  const alike = (/** @type {typeof named[number]} */ { read }) =>
    Number(read.vintage === (bottle['vintage'] ?? null)) + Number(read.price === (pick['price'] ?? null));
  const [best] = named.sort((a, b) => alike(b) - alike(a));
  return best ? { list: best.list, box: best.read.box } : null;
}
