// Bottles at home, what to drink soon first.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { NameAndLine } from '../../../components/layout/row.js';
import { SpanLine } from '../../../components/chart/span_line.js';
import { bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { spanText, thisYear } from '../../../domain/drinking_text.js';
import { openBottle } from '../../../domain/open_bottle.js';
import { styleName } from '../../../domain/style_names.js';
import { STATES } from '../../../rules/serving/drinking.js';
import { shelf } from '../list/shelf_state.js';
import { bottlesAtHome, homeCounts } from './home_state.js';
import { StockSheet } from './stock_sheet.js';

/** @typedef {import('./home_state.js').Kept} Kept */
/** @typedef {{ min: number, max: number, now: number }} Axis calendar years */

// Years before and after the present one that the shared axis shows at most.
const PAST_YEARS = 5;
const FUTURE_YEARS = 20;

export function HomePage() {
  const { asked } = shelf.value;
  const [openId, setOpenId] = useState(/** @type {string | null} */ (null));
  if (!asked) return html`<${Page} title=${'\u00a0'} back="/shelf" trailing="" />`;
  const kept = bottlesAtHome();
  const opened = shelf.value.stock.find((row) => row.id === openId) ?? null;
  return html`<${Page} title=${t('shelf.home_title')} back="/shelf" trailing="">
    ${
      kept.length
        ? html`<p class="voice guide">${t('shelf.at_home', { count: homeCounts(kept).all })}</p>
          <${Sections} kept=${kept} onOpen=${setOpenId} />
          <p class="soft small home-note">${t('shelf.home_note')}</p>`
        : html`<div class="empty"><p class="voice">${t('shelf.home_empty')}</p>
          <p>${t('shelf.home_empty_how')}</p>
          <a class="button" href="#/shelf">${t('shelf.home_to_shelf')}</a></div>`
    }
    <${StockSheet} stock=${opened} bottle=${opened && resolveBottle(shelf.value.bottles, opened.fields['bottle'])}
      onClose=${() => setOpenId(null)} />
  <//>`;
}

/** @param {Kept[]} kept @returns {Axis} */
function axisOf(kept) {
  const now = thisYear();
  const years = kept.flatMap(({ window: { from, by } }) => [from ?? now, by ?? now]);
  return {
    now,
    min: Math.max(now - PAST_YEARS, Math.min(now - 1, ...years)),
    max: Math.min(now + FUTURE_YEARS, Math.max(now + 1, ...years)),
  };
}

/** @param {{ kept: Kept[], onOpen: (id: string) => void }} props */
function Sections({ kept, onOpen }) {
  const axis = axisOf(kept);
  return html`${STATES.map((state) => {
    const rows = kept.filter((each) => each.state === state);
    return (
      rows.length > 0 &&
      html`<section class="home-part" key=${state} aria-labelledby=${`home-${state}`}>
        <h2 id=${`home-${state}`}>${t(`shelf.home_${state}`)}</h2>
        <ul class="ruled">${rows.map(
          (each) => html`<li key=${each.stock.id}><${HomeRow} kept=${each} axis=${axis} onOpen=${onOpen} /></li>`,
        )}</ul>
      </section>`
    );
  })}`;
}

/** @param {{ kept: Kept, axis: Axis, onOpen: (id: string) => void }} props */
function HomeRow({ kept: { stock, bottle, window, state }, axis, onOpen }) {
  const name = bottleName(bottle);
  const { count, where } = stock.fields;
  const style = bottle?.fields['covered'] ? '' : styleName(bottle?.fields['style']);
  const known = state !== 'unknown';
  const line = [t('book.stock_left', { count }), where, style].filter(Boolean).join(' \u00b7 ');
  return html`<div class="home-row">
    <button type="button" class="home-open" onClick=${() => onOpen(stock.id)}>
      <${NameAndLine} name=${name} line=${line} />
      ${known && html`<${SpanLine} ...${axis} from=${window.from} by=${window.by} faint=${window.basis !== 'own'} />`}
      <span class="small">
        ${known ? t(`shelf.home_basis_${window.basis}`, { years: spanText(window) }) : t('shelf.home_set')}
      </span>
    </button>
    <button type="button" class="button" data-once onClick=${() => openBottle(stock.fields['bottle'], stock)}
        aria-label=${t('shelf.pour_named', { name })}>${t('shelf.pour_it')}</button>
  </div>`;
}
