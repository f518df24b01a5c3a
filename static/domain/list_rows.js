// Rows of the tasting list, grouped by month.
import { html } from '../lib/ui.js';
import { firstIndex } from '../lib/first_index.js';
import { date } from '../lib/format.js';
import { t } from '../i18n.js';
import { localDateTime } from '../lib/datetime.js';
import { DatedRow } from './tasting_row.js';

/** @typedef {import('./search_index.js').Entry} Entry */
/**
 * @typedef {Pick<Entry, 'id' | 'at' | 'liking' | 'fault' | 'example' | 'unfinished'>
 *   & { about: { name: string, line: string } }} ListEntry
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
 * Find where the months begin, and create a row only when it is shown: each key press in the search calls this for up
 * to all tastings.
 * @param {ListEntry[]} entries newest first
 * @returns {Lines}
 */
function newRows(entries) {
  const starts = monthStarts(entries);
  /** The number of months that begin before a line. @param {number} at */
  const monthsBefore = (at) => firstIndex(0, starts.length, (month) => Number(starts[month]) + month >= at);
  return {
    count: entries.length + starts.length,
    top: (at) => {
      const months = monthsBefore(at);
      return months * MONTH_REM + (at - months) * ROW_REM;
    },
    line: (at) => {
      const months = monthsBefore(at);
      const index = at - months;
      return starts[months] === index ? monthRow(entries, index) : listRow(entries, index);
    },
  };
}

/** @param {ListEntry[]} entries newest first @returns {number[]} the index of the first one of each month */
function monthStarts(entries) {
  const starts = [];
  for (let from = 0; from < entries.length;) {
    starts.push(from);
    const month = /** @type {ListEntry} */ (entries[from]).at.slice(0, 7);
    from = firstIndex(from, entries.length, (at) => !(/** @type {ListEntry} */ (entries[at]).at.startsWith(month)));
  }
  return starts;
}

/** @param {ListEntry[]} entries @param {number} index of the first tasting of the month */
function monthRow(entries, index) {
  const { at } = /** @type {ListEntry} */ (entries[index]);
  return {
    key: `month-${at.slice(0, 7)}`,
    row: html`<h2 class="list-month">${at ? monthName(at) : t('book.no_day')}</h2>`,
  };
}

/** @param {ListEntry[]} entries @param {number} index */
function listRow(entries, index) {
  const { id, at, liking, fault, about, example, unfinished } = /** @type {ListEntry} */ (entries[index]);
  // The day stands only beside the first line of it.
  const isFirst = at && entries[index - 1]?.at.slice(0, 10) !== at.slice(0, 10);
  const marks = [example && t('app.sample'), unfinished && t('book.unfinished'), fault];
  const line = [...marks, about.line].filter(Boolean).join(' \u00b7 ');
  const row = html`<${DatedRow} id=${id} name=${about.name} line=${line} liking=${liking}
      day=${isFirst ? date(localDateTime(at), { day: 'numeric' }) : ''} spoken=${at ? date(localDateTime(at)) : ''} />`;
  return { key: id, row };
}

/** @param {string} moment */
function monthName(moment) {
  return date(localDateTime(moment), { month: 'long', year: 'numeric' });
}
