// Bottles in stock, each opened with one tap.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { bottleLine, bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { openBottle } from '../../../domain/open_bottle.js';
import { shelf } from './shelf_state.js';
import { NameAndLine } from '../../../components/layout/row.js';

export function StockList() {
  const { stock, bottles } = shelf.value;
  const inStock = stock.filter((row) => row.fields['count'] > 0);
  if (!inStock.length) return null;
  const bottlesLeft = inStock.reduce((sum, row) => sum + row.fields['count'], 0);
  return html`<details class="fold"><summary>${t('shelf.at_home', { count: bottlesLeft })}</summary>
    <ul class="ruled">${inStock.map(
      (row) => html`<li key=${row.id} class="row">
        <a class="grow at-home-name" href=${`#/book/bottle/${row.fields['bottle']}`}>
        <${NameAndLine} name=${bottleName(resolveBottle(bottles, row.fields['bottle']))} line=${[
          t('book.stock_left', { count: row.fields['count'] }),
          row.fields['where'],
          bottleLine(resolveBottle(bottles, row.fields['bottle'])),
        ]
          .filter(Boolean)
          .join(' \u00b7 ')} />
      </a>
      <button type="button" class="button" onClick=${() => openBottle(row.fields['bottle'], row)}
          aria-label=${t('shelf.pour_named', { name: bottleName(resolveBottle(bottles, row.fields['bottle'])) })}>
        ${t('shelf.pour_it')}
      </button>
      </li>`,
    )}</ul>
  </details>`;
}
