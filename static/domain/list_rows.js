// Rows of the tasting list, grouped by month.
import { html } from '../lib/ui.js';
import { date } from '../lib/format.js';
import { t } from '../i18n.js';
import { ValueWithBar } from '../components/chart/value_with_bar.js';

/** @typedef {import('../features/book/list/search_index.js').Entry} Entry */
/** @typedef {Pick<Entry, 'id' | 'at' | 'liking'> & { about: { name: string, line: string } }} ListEntry */
/** @typedef {import('../components/layout/virtual_list.js').Lines} Lines */

// Height of two lines for the name and one for the details.
const ROW_REM = 5.25;
const MONTH_REM = 2.75;

/**
 * Compute the height of each row, and create a row only when it is shown: each key press in the
 * search calls this for up to ten thousand entries.
 * @param {ListEntry[]} entries newest first
 * @returns {Lines}
 */
export function listRows(entries) {
  /** @type {number[]} */
  const rems = [];
  // The index of a tasting; for a month, -1 minus the index of its first tasting.
  /** @type {number[]} */
  const shown = [];
  /** @type {string | null} */
  let month = null;
  for (let index = 0; index < entries.length; index += 1) {
    const { at } = /** @type {ListEntry} */ (entries[index]);
    if (month === null || !at.startsWith(month)) {
      month = at.slice(0, 7);
      rems.push(MONTH_REM);
      shown.push(-1 - index);
    }
    rems.push(ROW_REM);
    shown.push(index);
  }
  return { rems, line: (at) => listRow(entries, /** @type {number} */ (shown[at])) };
}

/**
 * @param {ListEntry[]} entries
 * @param {number} index as in `shown` above
 */
function listRow(entries, index) {
  const entry = /** @type {ListEntry} */ (entries[index < 0 ? -1 - index : index]);
  if (index < 0)
    return {
      key: `month-${entry.at.slice(0, 7)}`,
      row: html`<h2 class="ledger-month">${entry.at ? monthName(entry.at) : t('book.no_day')}</h2>`,
    };
  const firstOfDay = entries[index - 1]?.at.slice(0, 10) !== entry.at.slice(0, 10);
  return { key: entry.id, row: html`<${ListRow} entry=${entry} firstOfDay=${firstOfDay} />` };
}

/** @param {{ entry: ListEntry, firstOfDay: boolean }} props firstOfDay: the day is shown only in its first row */
function ListRow({ entry: { id, at, liking, about }, firstOfDay }) {
  return html`<a class="ledger-row" href=${`#/book/${id}`}>
    <span class="ledger-day figure" aria-hidden="true">
      ${firstOfDay && at ? date(localDateTime(at), { day: 'numeric' }) : ''}
    </span>
    <span class="ledger-what">
    <span class="name">${about.name}
    </span>
    <span class="soft small">${about.line || '\u00a0'}
    </span>
      <span class="unseen">${at ? date(localDateTime(at)) : ''}</span></span>
    <${LikingValue} liking=${liking} />
  </a>`;
}

/** @param {{ liking: number | null | undefined }} props */
export function LikingValue({ liking }) {
  if (!liking)
    return html`<span class="ruled-figure none">
    <span aria-hidden="true">${'\u2013'}
    </span>
    <span class="unseen">${t('parts.not_judged')}
    </span>
    </span>`;
  return html`<${ValueWithBar} figure=${String(liking)} said=${t(`liking.${liking}`)} min=${1} max=${9}
      at=${liking} />`;
}

/**
 * Return the local date and time of the place of tasting, without the offset.
 * @param {string} moment RFC 3339
 */
export function localDateTime(moment) {
  return moment.slice(0, 19);
}

/** @param {string} moment */
function monthName(moment) {
  return date(localDateTime(moment), { month: 'long', year: 'numeric' });
}
