// Shelf screen: bottles in a shop, filtered by alcohol and sorted by predicted liking.
import { html, useState } from '../../lib/ui.js';
import { useProgressiveList } from '../../components/layout/progressive.js';
import { t } from '../../i18n.js';
import { LazySheet } from '../shell/lazy.js';
import { Page } from '../shell/page.js';
import { palate } from '../../store/palate_cache.js';
import { bottleName } from '../../domain/bottle_names.js';
import { AddSheet, openAddSheet } from './add/add_sheet.js';
import { StockList } from './list/stock_list.js';
import { AskMarket } from './list/ask_market.js';
import { TopThree } from './list/top_three.js';
import { isFiltered, NO_FILTERS } from './list/filters.js';
import { AbvFilter } from './list/abv_filter.js';
import { PickRow, pickLine } from './list/pick_row.js';
import { lacksAbv, filters, openedId, sortKey, shelf, strict, visibleRows, preferred } from './list/shelf_state.js';
import { Row } from '../../components/layout/row.js';

/** @typedef {import('./list/shelf_rows.js').ShelfRow} ShelfRow */

const SHOWN = 40;
/** Rows rendered at first, and added after each paint. */
const AT_ONCE = 2;
const YOUNG_BELOW = 5;
const sheetLoaders = {
  detail: () => import('./detail/detail_sheet.js').then((module) => module.DetailSheet),
  narrow: () => import('./list/filter_sheet.js').then((module) => module.ShelfFilterSheet),
  list: () => import('./import/import_sheet.js').then((module) => module.ImportSheet),
};

export function Screen() {
  const [narrowOpen, setNarrowOpen] = useState(false);
  const [importOpen, setImportOpen] = useState(false);
  const { picks, asked } = shelf.value;
  return html`<${Page} title=${t('app.room_shelf')}>
    <${AskMarket} />
      ${
        asked &&
        (picks.length
          ? html`<${Standing} openNarrow=${() => setNarrowOpen(true)} />`
          : html`<${Empty} />
        <${StockList} />`)
      }
    <div class="at-thumb">
    <button type="button" class="button primary" onClick=${openAddSheet}>${t('shelf.add')}
    </button>
    <button type="button" class="button" onClick=${() => setImportOpen(true)}>${t('shelf.import_open')}
    </button>
    </div>
    <${AddSheet} /><${LazySheet} door=${sheetLoaders.detail} open=${openedId.value !== null} />
    <${LazySheet} door=${sheetLoaders.narrow} open=${narrowOpen} onClose=${() => setNarrowOpen(false)} />
      <${LazySheet} door=${sheetLoaders.list} open=${importOpen} onClose=${() => setImportOpen(false)} />
  <//>`;
}

function Empty() {
  return html`<div class="empty"><p class="voice">${t('shelf.empty')}</p><p>${t('shelf.empty_how')}</p></div>`;
}

/** @param {{ openNarrow: () => void }} props */
function Standing({ openNarrow }) {
  return useProgressiveList(
    () => [
      html`<${TopThree} /><${HowWellKnown} />`,
      html`<${AbvFilter} onNumbers=${openNarrow} />`,
      html`<${Ordered} openNarrow=${openNarrow} />`,
    ],
    [],
    { first: 1 },
  );
}

/** @param {{ openNarrow: () => void }} props */
function Ordered({ openNarrow }) {
  const { looking, outside, hidden, bought, passed } = visibleRows.value;
  const numberless = looking.filter(lacksAbv).length;
  return html`<div class="shelf-head">
  <p class="soft small">${t('shelf.count', { count: looking.length + outside.length })}
  </p>
  <button type="button" class="button plain" onClick=${openNarrow}>
    ${t('shelf.ordered_by', { order: t(`shelf.order_${sortKey.value}`) })}
  </button>
  </div>
    ${
      hidden > 0 &&
      html`<p class="shelf-hidden small"><span>${t('shelf.hidden', { count: hidden })}</span>${
        isFiltered(filters.value) &&
        html`<button type="button" class="button plain" onClick=${() => {
          filters.value = NO_FILTERS;
        }}>${t('shelf.narrow_clear')}</button>`
      }</p>`
    }
    ${
      (preferred.value.low ?? preferred.value.high) !== null &&
      numberless > 0 &&
      html`<p class="soft small numberless">
      ${t('shelf.numberless', { count: numberless })}
    </p>`
    }
    <${Rows} rows=${looking} label=${t('app.room_shelf')} />
    ${
      looking.length === 0 &&
      html`<p class="empty voice">
      ${t(outside.length ? 'shelf.all_outside' : hidden ? 'shelf.all_hidden' : 'shelf.all_done')}
    </p>`
    }
    <${Fold} words=${strict.value ? 'shelf.perhaps_outside_fold' : 'shelf.outside_fold'} rows=${outside}>
      <${Rows} rows=${outside} label=${t('shelf.outside')} />
    <//>
    <${Fold} words="shelf.bought_fold" rows=${bought}><${Settled} rows=${bought} /><//>
    <${Fold} words="shelf.passed_fold" rows=${passed}><${Settled} rows=${passed} /><//>
    <${StockList} />`;
}

/** Show a notice while there is no palate, or one with little data. */
function HowWellKnown() {
  const document = palate.value;
  if (document === null) return html`<p class="notice">${t('shelf.no_palate')}</p>`;
  return document.n_rated < YOUNG_BELOW
    ? html`<p class="notice">${document.n_rated ? t('shelf.young', { count: document.n_rated }) : t('shelf.young_none')}
    </p>`
    : null;
}

/** @param {{ rows: ShelfRow[], label: string }} props */
function Rows({ rows, label }) {
  const [shown, setShown] = useState(SHOWN);
  const drawn = useProgressiveList(
    () => rows.map((row) => html`<li key=${row.pick.id}><${PickRow} row=${row} /></li>`),
    [rows],
    { most: shown, first: AT_ONCE, more: AT_ONCE },
  );
  return html`<ul class="picks" aria-label=${label}>${drawn}</ul>
    ${
      rows.length > shown &&
      html`<button type="button" class="button plain" onClick=${() => setShown(shown + SHOWN)}>
      ${t('shelf.show_more', { count: rows.length - shown })}
    </button>`
    }`;
}

/** @param {{ words: string, rows: ShelfRow[], children?: unknown }} props */
function Fold({ words: key, rows, children }) {
  if (!rows.length) return null;
  return html`<details class="fold"><summary><span>${t(key, { count: rows.length })}</span></summary>${children}
  </details>`;
}

/** @param {{ rows: ShelfRow[] }} props */
function Settled({ rows }) {
  return html`<ul class="ruled">${rows.map(
    (row) =>
      html`<li key=${row.pick.id}><${Row} name=${bottleName(row.bottle)} line=${pickLine(row)} onClick=${() => {
        openedId.value = row.pick.id;
      }} /></li>`,
  )}</ul>`;
}
