// A tasting as a list row.
import { html } from '../lib/ui.js';
import { localDateTime } from '../lib/datetime.js';
import { date } from '../lib/format.js';
import { t } from '../i18n.js';
import { NameAndLine } from '../components/layout/row.js';
import { ValueWithBar } from '../components/chart/value_with_bar.js';

/** @typedef {import('../store/record.js').Row} Row */

/**
 * @param {{ id: string, name: string, line: string, liking: number | null | undefined, day?: string, spoken?: string }}
 *   props day: stands before the name, empty where the row above has the same; spoken: the date for a screen reader
 */
export function DatedRow({ id, name, line, liking, day, spoken }) {
  return html`<a class=${day === undefined ? 'list-row dated' : 'list-row'} href=${`#/book/${id}`}>
    ${day !== undefined && html`<span class="row-day figure" aria-hidden="true">${day}</span>`}
    <span class="row-text">
      <${NameAndLine} name=${name} line=${line || false} />
      ${spoken !== undefined && html`<span class="unseen">${spoken}</span>`}
    </span>
    <${LikingValue} liking=${liking} />
  </a>`;
}

/** Show a tasting of a bottle that the page already names. @param {{ tasting: Row }} props */
export function TastingRow({ tasting }) {
  const { tasted_at, place, words: note, liking } = tasting.fields;
  return html`<${DatedRow} id=${tasting.id} liking=${liking} line=${note || place}
      name=${tasted_at ? date(localDateTime(tasted_at)) : t('book.no_day')} />`;
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
  return html`<${ValueWithBar} figure=${String(liking)} text=${t(`liking.${liking}`)} min=${1} max=${9}
      at=${liking} />`;
}
