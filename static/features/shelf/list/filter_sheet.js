// Order and filters of the shelf, and the preferred alcohol on a slider and as numbers.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Choice, Choices } from '../../../components/form/choice.js';
import { NumberField } from '../../../components/form/field.js';
import { PriceField } from '../../../components/form/price_field.js';
import { MAX_ABV } from '../../../domain/bottle/abv.js';
import { FilterButtons, FilterSheet, WineFilters } from '../../../domain/filter_sheet.js';
import { isFiltered, NO_FILTERS } from './filters.js';
import { isCompany } from './company_state.js';
import { CompanyOrder } from './for_whom.js';
import { AbvSlider } from './abv_slider.js';
import { sortKeys } from './sort.js';
import {
  filters,
  order,
  preferred,
  priceCurrency,
  rows,
  setFilters,
  setPreferredAbv,
  setStrict,
  strict,
} from './shelf_state.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function ShelfFilterSheet(props) {
  return html`<${FilterSheet} ...${props} title=${t('shelf.narrow')} Filters=${Filters} />`;
}

/** @param {{ onClose: () => void }} props */
function Filters({ onClose }) {
  const by = filters.value;
  const { low, enteredHigh, upsideDown } = preferred.value;
  const styles = useMemo(() => new Set(rows.peek().map((row) => row.label['style'])), []);
  return html`<${AbvSlider} />
    <div class="pair wanted-numbers" role="group" aria-label=${t('shelf.wanted')}>
      <${NumberField} label=${t('shelf.wanted_low')} unit="%" min=${0} max=${MAX_ABV} value=${low}
          onChange=${(/** @type {number | null} */ value) => setPreferredAbv(value, preferred.peek().enteredHigh)}
          error=${upsideDown ? t('shelf.upside_down') : null} />
      <${NumberField} label=${t('shelf.wanted_high')} unit="%" min=${0} max=${MAX_ABV} value=${enteredHigh}
          onChange=${(/** @type {number | null} */ value) => setPreferredAbv(preferred.peek().low, value)} />
    </div>
    <${Choices} label=${t('shelf.strict_title')} options=${[{ id: 'strict', label: t('shelf.strict') }]}
        value=${strict.value ? ['strict'] : []}
        onChange=${(/** @type {string[] | null} */ ids) => setStrict(ids !== null)} note=${t('shelf.strict_note')} />
    ${isCompany.value ? html`<${CompanyOrder} more=${['price', 'seen']} />` : html`<${Order} />`}
    <${PriceField} label=${t('shelf.price_high')} currency=${priceCurrency.value}
        value=${by.price_high} onChange=${(/** @type {number | null} */ value) => setFilters({ price_high: value })} />
    <${WineFilters} by=${by} set=${setFilters} styles=${styles} anyStyle=${t('shelf.any_style')} />
    <${Choice} label=${t('scale.sweetness')}
        options=${['dry', 'in_between', 'sweet'].map((id) => ({ id, label: t(`shelf.sweetness_${id}`) }))}
        value=${by.sweetness} onChange=${(/** @type {any} */ id) => setFilters({ sweetness: id })} />
    <${Choice} label=${t('shelf.tasted')} hideLabel options=${[{ id: 'untasted', label: t('shelf.untasted') }]}
        value=${by.untasted ? 'untasted' : null}
        onChange=${(/** @type {string | null} */ id) => setFilters({ untasted: id !== null })} />
    <${FilterButtons} clear=${t('shelf.narrow_clear')} canClear=${isFiltered(by)} onClear=${() =>
      setFilters(NO_FILTERS)} done=${t('shelf.narrow_done')} onDone=${onClose} />`;
}

function Order() {
  return html`<${Choice} label=${t('shelf.order')} value=${order.value}
    options=${sortKeys.map((id) => ({ id, label: t(`shelf.order_${id}`) }))}
    onChange=${(/** @type {string | null} */ id) => {
      order.value = id ?? 'liking';
    }} note=${t(`shelf.order_note_${order.value}`)} />`;
}
