// Shelf screen: bottles in a shop, filtered by alcohol and sorted by predicted liking; and the page
// of the bottles at home.
import { html, useEffect, useState } from '../../lib/ui.js';
import { isFiltered, NO_FILTERS } from './list/filters.js';
import { useProgressiveList } from '../../components/layout/progressive.js';
import { t } from '../../i18n.js';
import { LazySheet, useLazy } from '../shell/lazy.js';
import { Page } from '../shell/page.js';
import { palate } from '../../store/palate_cache.js';
import { shownPalate } from '../shell/shown_palate.js';
import { bottleName } from '../../domain/bottle_names.js';
import { isYoungPalate, ratedWines } from '../../domain/palate/rated_wines.js';
import { AddSheet, openAddSheet } from './add/add_sheet.js';
import { HomeLink } from './home/home_link.js';
import { AskMarket } from './list/ask_market.js';
import { TopThree } from './list/top_three.js';
import { ForWhom } from './list/for_whom.js';
import { isCompany } from './list/company_state.js';
import { AbvFilter } from './list/abv_filter.js';
import { PickRow } from './list/pick_row.js';
import { pickLine } from './list/pick_text.js';
import {
  lacksAbv,
  filters,
  openedId,
  setFilters,
  sortKey,
  shelf,
  strict,
  visibleRows,
  preferred,
} from './list/shelf_state.js';
import { Row } from '../../components/layout/row.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('./list/shelf_rows.js').ShelfRow} ShelfRow */

const INITIAL_COUNT = 40;
/** Rows rendered at first, and added after each paint. */
const BATCH_SIZE = 2;
const sheetLoaders = {
  detail: () => import('./detail/detail_sheet.js').then((module) => module.DetailSheet),
  filter: () => import('./list/filter_sheet.js').then((module) => module.ShelfFilterSheet),
  list: () => import('./import/import_sheet.js').then((module) => module.ImportSheet),
};

const homeLoader = () => import('./home/home_page.js').then((module) => module.HomePage);

/** @param {{ path: string[] }} props */
export function Screen({ path }) {
  const isHome = path[0] === 'home';
  const HomePage = useLazy(isHome ? homeLoader : null);
  if (!isHome) return html`<${ShopPage} />`;
  return HomePage && html`<${HomePage} />`;
}

function ShopPage() {
  const [filterOpen, setFilterOpen] = useState(false);
  const [importOpen, setImportOpen] = useState(false);
  const { picks, asked } = shelf.value;
  useEffect(() => {
    addEventListener('popstate', forgetOpened);
    return () => removeEventListener('popstate', forgetOpened);
  }, []);
  return html`<${Page} title=${t('app.room_shelf')}>
      ${
        asked &&
        (picks.length
          ? html`<${ShelfContent} openFilter=${() => setFilterOpen(true)} />`
          : html`<${AskMarket} /><${HomeLink} /><${Empty} />`)
      }
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${openAddSheet}>${t('shelf.add')}
    </button>
    <button type="button" class="button" onClick=${() => setImportOpen(true)}>${t('shelf.import_open')}
    </button>
    <//>
    <${AddSheet} /><${LazySheet} loader=${sheetLoaders.detail} open=${openedId.value !== null} />
    <${LazySheet} loader=${sheetLoaders.filter} open=${filterOpen} onClose=${() => setFilterOpen(false)} />
      <${LazySheet} loader=${sheetLoaders.list} open=${importOpen} onClose=${() => setImportOpen(false)} />
  <//>`;
}

/** Close the bottle when the browser's Back leaves the shelf. After a link of its sheet, Back returns to the sheet. */
function forgetOpened() {
  openedId.value = null;
}

function Empty() {
  return html`<div class="empty"><p class="voice">${t('shelf.empty')}</p><p>${t('shelf.empty_how')}</p></div>`;
}

/** @param {{ openFilter: () => void }} props */
function ShelfContent({ openFilter }) {
  return useProgressiveList(
    () => [
      html`<${HomeLink} /><${TopThree} /><${HowWellKnown} /><${ForWhom} />`,
      html`<${AbvFilter} openFilter=${openFilter} />`,
      html`<${Ordered} openFilter=${openFilter} />`,
      html`<${AskMarket} />`,
    ],
    [],
    { first: 1 },
  );
}

/** @param {{ openFilter: () => void }} props */
function Ordered({ openFilter }) {
  const { inside, outside, hidden, bought, passed } = visibleRows.value;
  const numberless = inside.filter(lacksAbv).length;
  const shown = inside.length;
  const count = shown + outside.length + hidden;
  return html`<div class="shelf-head">
  <p class="soft small">${t(shown < count ? 'shelf.count_shown' : 'shelf.count', { shown, count })}</p>
  <button type="button" class="button plain" onClick=${openFilter}>
    ${t('shelf.ordered_by', { order: t(`shelf.order_${sortKey.value}`) })}
  </button>
  </div>
    ${
      hidden > 0 &&
      html`<p class="shelf-hidden small"><span>${t('shelf.hidden', { count: hidden })}</span>${
        isFiltered(filters.value) &&
        html`<button type="button" class="button plain" onClick=${() => setFilters(NO_FILTERS)}>
          ${t('shelf.narrow_clear')}</button>`
      }</p>`
    }
    ${
      (preferred.value.low ?? preferred.value.high) !== null &&
      numberless > 0 &&
      html`<p class="soft small without-abv">
      ${t('shelf.numberless', { count: numberless })}
    </p>`
    }
    <${Rows} rows=${inside} label=${t('app.room_shelf')} />
    ${
      inside.length === 0 &&
      html`<p class="empty voice">
      ${t(outside.length ? 'shelf.all_outside' : hidden ? 'shelf.all_hidden' : 'shelf.all_done')}
    </p>`
    }
    <${CountedFold} messageKey=${strict.value ? 'shelf.perhaps_outside_fold' : 'shelf.outside_fold'} rows=${outside}>
      <${Rows} rows=${outside} label=${t('shelf.outside')} />
    <//>
    <${CountedFold} messageKey="shelf.bought_fold" rows=${bought}><${ClosedPicks} rows=${bought} /><//>
    <${CountedFold} messageKey="shelf.passed_fold" rows=${passed}><${ClosedPicks} rows=${passed} /><//>`;
}

/** Show a notice while there is no palate, or one with little data. */
function HowWellKnown() {
  const document = palate.value;
  if (document !== null && shownPalate.value !== 'own')
    return html`<p class="notice" role="status">
      ${t(shownPalate.value === 'learning' ? 'shelf.learning' : 'shelf.of_sample')}
    </p>`;
  if (isCompany.value) return null;
  if (document === null) return html`<p class="notice">${t('shelf.no_palate')}</p>`;
  if (!isYoungPalate(document)) return null;
  const count = ratedWines(document);
  return html`<p class="notice">${count ? t('shelf.young', { count }) : t('shelf.young_none')}</p>`;
}

/** @param {{ rows: ShelfRow[], label: string }} props */
function Rows({ rows, label }) {
  const [count, setCount] = useState(INITIAL_COUNT);
  const drawn = useProgressiveList(
    () => rows.map((row) => html`<li key=${row.pick.id}><${PickRow} row=${row} /></li>`),
    [rows],
    { limit: count, first: BATCH_SIZE, more: BATCH_SIZE },
  );
  return html`<ul class="picks" aria-label=${label}>${drawn}</ul>
    ${
      rows.length > count &&
      html`<button type="button" class="button plain" onClick=${() => setCount(count + INITIAL_COUNT)}>
      ${t('shelf.show_more', { count: rows.length - count })}
    </button>`
    }`;
}

/** @param {{ messageKey: string, rows: ShelfRow[], children?: unknown }} props */
function CountedFold({ messageKey: key, rows, children }) {
  if (!rows.length) return null;
  return html`<details class="fold"><summary><span>${t(key, { count: rows.length })}</span></summary>${children}
  </details>`;
}

/** @param {{ rows: ShelfRow[] }} props */
function ClosedPicks({ rows }) {
  return html`<ul class="ruled">${rows.map(
    (row) =>
      html`<li key=${row.pick.id}><${Row} name=${bottleName(row.bottle)} line=${pickLine(row)} onClick=${() => {
        openedId.value = row.pick.id;
      }} /></li>`,
  )}</ul>`;
}
