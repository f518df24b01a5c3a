// All noted prices of one bottle: a chart per currency, and a table.
import { html } from '../lib/ui.js';
import { date, price } from '../lib/format.js';
import { t } from '../i18n.js';
import { TimeSeries } from '../components/chart/time_series.js';
import { localDateTime } from '../lib/datetime.js';

/** @typedef {import('../store/record.js').Row} Row */
/**
 * @typedef {{ id: string, at: string, shop: string | null, amount: number, currency: string | null, bought: boolean
 *   }} Seen at: RFC 3339, or empty
 */

/**
 * @param {Row[]} picks
 * @returns {Seen[]} oldest first; those without a date come first
 */
function pricesOf(picks) {
  const seen = picks
    .filter((row) => typeof row.fields['price'] === 'number')
    .map(({ id, fields }) => ({
      id,
      at: fields['seen_at'] ?? '',
      shop: fields['shop'] ?? null,
      amount: fields['price'],
      currency: fields['currency'] ?? null,
      bought: fields['state'] === 'bought',
    }));
  const when = (/** @type {Seen} */ { at }) => (at ? Date.parse(at) : -Infinity);
  return seen.sort((a, b) => (when(a) === when(b) ? (a.id < b.id ? -1 : 1) : when(a) - when(b)));
}

/**
 * Group dated prices by currency, because amounts of two currencies cannot share an axis.
 * @param {Seen[]} seen
 * @returns {Seen[][]} groups of at least two
 */
function byCurrency(seen) {
  /** @type {Map<string | null, Seen[]>} */
  const groups = new Map();
  for (const each of seen) if (each.at) groups.set(each.currency, [...(groups.get(each.currency) ?? []), each]);
  return [...groups.values()].filter((group) => group.length > 1);
}

/** @param {{ picks: Row[] }} props of one bottle */
export function Prices({ picks }) {
  const seen = pricesOf(picks);
  if (!seen.length) return html`<p class="soft">${t('book.no_prices')}</p>`;
  const lines = byCurrency(seen);
  return html`${lines.map((group) => html`<${PriceLine} key=${group[0]?.currency} seen=${group} />`)}
    ${
      lines.length > 0 &&
      seen.some((each) => each.bought) &&
      html`<p class="soft small" aria-hidden="true">
      ${t('book.prices_legend')}
    </p>`
    }
    <table class="prices"><caption class="unseen">${t('book.prices')}</caption>
      <thead>
      <tr>
      <th scope="col">${t('field.seen_at')}
      </th>
      <th scope="col">${t('field.shop')}
      </th>
      <th scope="col">${t('field.price')}
      </th>
      </tr>
      </thead>
      <tbody>${[...seen].reverse().map(
        (each) => html`<tr key=${each.id}><td>${each.at ? date(localDateTime(each.at)) : '\u2013'}</td>
        <td>${each.shop ?? t('book.some_shop')}${
          each.bought &&
          html`<span class="soft small aside-line">
          ${t('pick_state.bought')}
        </span>`
        }</td><td class="figure">${text(each)}</td>
        </tr>`,
      )}</tbody></table>`;
}

/** @param {{ seen: Seen[] }} props of one currency */
function PriceLine({ seen }) {
  const sorted = [...seen].sort((a, b) => a.amount - b.amount);
  const [lowest, highest, last] = /** @type {[Seen, Seen, Seen]} */ ([sorted[0], sorted.at(-1), seen.at(-1)]);
  const day = (/** @type {Seen | undefined} */ each) =>
    each ? date(localDateTime(each.at), { month: 'short', year: 'numeric' }) : '';
  const [from, to] = [day(seen[0]), day(last)];
  return html`<p>
    ${
      lowest.amount === highest.amount
        ? t('book.prices_same', { price: text(last) })
        : t('book.prices_between', { low: text(lowest), high: text(highest), last: text(last) })
    }
  </p>
    <${TimeSeries}
        points=${seen.map((each) => ({ time: Date.parse(each.at), value: each.amount, filled: each.bought }))}
        top=${text(highest)} bottom=${text(lowest)} from=${from} to=${from === to ? '' : to} />`;
}

/** @param {Seen} seen */
function text({ amount, currency }) {
  return price(amount, currency);
}
