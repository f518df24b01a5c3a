// A tasting as a list row.
import { html } from '../lib/ui.js';
import { date } from '../lib/format.js';
import { t } from '../i18n.js';
import { LikingValue, localDateTime } from './list_rows.js';

/** @typedef {import('../store/record.js').Row} Row */

/** Show a tasting of a bottle that the page already names. @param {{ tasting: Row }} props */
export function TastingRow({ tasting }) {
  const { tasted_at, place, words, liking } = tasting.fields;
  return html`<a class="ledger-row dated" href=${`#/book/${tasting.id}`}>
    <span class="ledger-what">
    <span class="name">${tasted_at ? date(localDateTime(tasted_at)) : t('book.no_day')}
    </span>
    <span class="soft small">${words || place || '\u00a0'}
    </span>
    </span>
    <${LikingValue} liking=${liking} />
  </a>`;
}
