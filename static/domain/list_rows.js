// Rows of the tasting list, grouped by month.
import { html } from '../lib/ui.js';
import { date } from '../lib/format.js';
import { t } from '../i18n.js';
import { localDateTime } from '../lib/datetime.js';
import { DatedRow } from './tasting_row.js';

/** @typedef {import('./search_index.js').Entry} Entry */
/**
 * @typedef {Pick<Entry, 'id' | 'at' | 'liking' | 'fault' | 'example'> & { about: { name: string, line: string } }}
 *   ListEntry
 */
/** @typedef {import('../components/layout/virtual_list.js').Lines} Lines */

// Height of two lines for the name and one for the details.
const ROW_REM = 5.25;
const MONTH_REM = 2.75;

/**
 * Rows of a list, kept while the list is, so that a page returns to it at once.
 * @type {WeakMap<ListEntry[], Lines>}
 */
const known = new WeakMap();

/**
 * @param {ListEntry[]} entries newest first, never changed later
 * @returns {Lines}
 */
export function listRows(entries) {
  const lines = known.get(entries) ?? newRows(entries);
  known.set(entries, lines);
  return lines;
}

/**
 * Compute the height of each row, and create a row only when it is shown: each key press in the
 * search calls this for up to ten thousand entries.
 * @param {ListEntry[]} entries newest first
 * @returns {Lines}
 */
function newRows(entries) {
  /** @type {number[]} */
  const rems = [];
  // The index of a tasting; for a month, -1 minus the index of its first tasting.
  /** @type {number[]} */
  const rows = [];
  /** @type {string | null} */
  let month = null;
  for (let index = 0; index < entries.length; index += 1) {
    const { at } = /** @type {ListEntry} */ (entries[index]);
    if (month === null || !at.startsWith(month)) {
      month = at.slice(0, 7);
      rems.push(MONTH_REM);
      rows.push(-1 - index);
    }
    rems.push(ROW_REM);
    rows.push(index);
  }
  return { rems, line: (at) => listRow(entries, /** @type {number} */ (rows[at])) };
}

/**
 * @param {ListEntry[]} entries
 * @param {number} index as in `rows` above
 */
function listRow(entries, index) {
  const entry = /** @type {ListEntry} */ (entries[index < 0 ? -1 - index : index]);
  if (index < 0)
    return {
      key: `month-${entry.at.slice(0, 7)}`,
      row: html`<h2 class="list-month">${entry.at ? monthName(entry.at) : t('book.no_day')}</h2>`,
    };
  const { id, at, liking, fault, about, example } = entry;
  // The day stands only beside the first line of it.
  const isFirst = at && entries[index - 1]?.at.slice(0, 10) !== at.slice(0, 10);
  const line = [example && t('app.sample'), fault, about.line].filter(Boolean).join(' \u00b7 ');
  const row = html`<${DatedRow} id=${id} name=${about.name} line=${line} liking=${liking}
      day=${isFirst ? date(localDateTime(at), { day: 'numeric' }) : ''} spoken=${at ? date(localDateTime(at)) : ''} />`;
  return { key: id, row };
}

/** @param {string} moment */
function monthName(moment) {
  return date(localDateTime(moment), { month: 'long', year: 'numeric' });
}
