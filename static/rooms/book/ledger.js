// The lines of the list: under each month its tastings, as on the pages of a ledger.
import { html } from '../../ui.js';
import { date } from '../../formats.js';
import { t } from '../../words.js';
import { RuledFigure } from '../../parts/ruled_figure.js';

/** @typedef {import('./catalogue.js').Entry} Entry */
/** @typedef {Pick<Entry, 'id' | 'at' | 'liking'> & { about: { name: string, line: string } }} LedgerEntry */
/** @typedef {import('../../parts/windowed.js').Line} Line */

// Two lines of the name and one below it.
const ROW_REM = 5.25;
const MONTH_REM = 2.75;

/** @param {LedgerEntry[]} entries newest first @returns {Line[]} */
export function ledgerLines(entries) {
  /** @type {Line[]} */
  const lines = [];
  let month = null;
  let day = null;
  for (const entry of entries) {
    const at = entry.at;
    if (at.slice(0, 7) !== month) {
      month = at.slice(0, 7);
      lines.push({ key: `month-${month}`, rem: MONTH_REM, row: () => html`<h2 class="ledger-month">${at ? monthName(at) : t('book.no_day')}</h2>` });
    }
    const firstOfDay = at.slice(0, 10) !== day;
    day = at.slice(0, 10);
    lines.push({ key: entry.id, rem: ROW_REM, row: () => html`<${LedgerRow} entry=${entry} firstOfDay=${firstOfDay} />` });
  }
  return lines;
}

/** @param {{ entry: LedgerEntry, firstOfDay: boolean }} props the day stands only beside the first line of it */
function LedgerRow({ entry: { id, at, liking, about }, firstOfDay }) {
  return html`<a class="ledger-row" href=${`#/book/${id}`}>
    <span class="ledger-day figure" aria-hidden="true">${firstOfDay && at ? date(wallClock(at), { day: 'numeric' }) : ''}</span>
    <span class="ledger-what"><span class="name">${about.name}</span><span class="soft small">${about.line || '\u00a0'}</span>
      <span class="unseen">${at ? date(wallClock(at)) : ''}</span></span>
    <${LikingFigure} liking=${liking} />
  </a>`;
}

/** @param {{ liking: number | null | undefined }} props */
export function LikingFigure({ liking }) {
  if (!liking) return html`<span class="ruled-figure none"><span aria-hidden="true">${'\u2013'}</span><span class="unseen">${t('parts.not_judged')}</span></span>`;
  return html`<${RuledFigure} figure=${String(liking)} said=${t(`liking.${liking}`)} min=${1} max=${9} at=${liking} />`;
}

/** The wall clock of the place where it was tasted, whatever zone the phone is in now. @param {string} moment RFC 3339 */
export function wallClock(moment) {
  return moment.slice(0, 19);
}

/** @param {string} moment */
function monthName(moment) {
  return date(wallClock(moment), { month: 'long', year: 'numeric' });
}
