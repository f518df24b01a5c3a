// Page of one bottle: label, tastings, prices and stock.
import { html, useEffect, useMemo } from '../../../lib/ui.js';
import { date } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { liveSignal } from '../../../store/queries.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { BottleFacts } from './bottle_facts.js';
import { loadHistory, NONE } from './bottle_history.js';
import { searchIndex, watchSearchIndex } from '../../../domain/search_index.js';
import { localDateTime } from '../../../lib/datetime.js';
import { drinkingOf, spanText } from '../../../domain/drinking_text.js';
import { openBottle } from '../../../domain/open_bottle.js';
import { PhotoStrip } from './photo_strip.js';
import { Prices } from '../../../domain/prices.js';
import { Vintages } from './vintages.js';
import { DatedRow, TastingRow } from '../../../domain/tasting_row.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @param {{ id: string }} props */
export function BottlePage({ id }) {
  const read = useMemo(() => liveSignal(() => loadHistory(id), NONE), [id]);
  const { bottle, merged, tastings, picks, stock, asked } = read.value;
  useEffect(watchSearchIndex, []);
  if (!asked) return html`<${Page} title=${'\u00a0'} back="/book" />`;
  if (!bottle)
    return html`<${Page} title=${t('book.gone_title')} back="/book"><p class="empty voice">${t('book.never_here')}</p>
    <//>`;
  const wine = ofWine(bottle.id);
  const inStock = stock.find((row) => row.fields['count'] > 0);
  const left = stock.reduce((sum, row) => sum + (row.fields['count'] ?? 0), 0);
  return html`<${Page} title=${bottleName(bottle)} back="/book" trailing="">
    <div class="columns"><${BottleFacts} bottle=${bottle} />
    <${Vintages} entries=${wine} />
    <section class="tasting-step">
    <h2>${tastings.length ? t('book.tasted_times', { count: tastings.length }) : t('book.tasted_never')}
    </h2>
      <ul class="ruled">${tastings.map((row) => html`<li key=${row.id}><${TastingRow} tasting=${row} /></li>`)}</ul>
      </section>
    <${OtherYears} entries=${wine.filter((entry) => entry.about.id !== bottle.id)} />
    <${PhotoStrip} of=${{ bottle: bottle.id }} merged=${merged} />
    ${
      picks.length > 0 &&
      html`<section class="tasting-step"><h2>${t('book.prices')}</h2><${Prices} picks=${picks} />
    </section>`
    }
    <section class="tasting-step">
    <h2>${t('book.in_stock')}
    </h2>
    ${
      inStock
        ? html`<p>${[t('book.stock_left', { count: left }), spanText(drinkingOf(inStock, bottle).window)]
            .filter(Boolean)
            .join(' \u00b7 ')}</p>
    <p class="tasting-more"><a class="button plain" href="#/shelf/home">${t('book.stock_open')}</a></p>`
        : html`<p>${t('book.stock_none')}</p>`
    }
    </section>
    </div>
    <${AtThumb}><button type="button" class="button primary"
      onClick=${() => openBottle(bottle.id, inStock)}>${t('book.taste_again')}</button><//>
  <//>`;
}

/**
 * @param {string} id
 * @returns {import('../../../domain/search_index.js').Entry[]} every tasting of the same wine, whatever its year
 */
function ofWine(id) {
  const entries = searchIndex.value ?? [];
  const wine = entries.find((entry) => entry.about.id === id)?.about.wine;
  return wine ? entries.filter((entry) => entry.about.wine === wine) : [];
}

/** @param {{ entries: import('../../../domain/search_index.js').Entry[] }} props */
function OtherYears({ entries }) {
  if (!entries.length) return null;
  return html`<section class="tasting-step"><h2>${t('book.other_years')}</h2>
    <ul class="ruled">${entries.map(
      ({ id, at, liking, about }) => html`<li key=${id}><${DatedRow} id=${id} name=${about.name} liking=${liking}
      line=${at ? date(localDateTime(at)) : ''} /></li>`,
    )}</ul></section>`;
}
