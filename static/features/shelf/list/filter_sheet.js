// Order and filters of the shelf, and the preferred alcohol as numbers.
import { html, useMemo } from '../../../lib/ui.js';
import { currencySign } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { Choice, Choices } from '../../../components/form/choice.js';
import { NumberField } from '../../../components/form/field.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { styleItems } from '../../../domain/bottle/style_search.js';
import { isFiltered, NO_FILTERS } from './filters.js';
import { sortKeys } from './sort.js';
import { defaults, filters, order, rows, setStrict, strict, setPreferredAbv, preferred } from './shelf_state.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function FilterSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('shelf.narrow')} open=${open} onClose=${onClose}>
    ${open && html`<${Filters} onClose=${onClose} />`}
  <//>`;
}

/** @param {{ onClose: () => void }} props */
function Filters({ onClose }) {
  const by = filters.value;
  const { low, saidHigh, upsideDown } = preferred.value;
  const set = (/** @type {Partial<import('./filters.js').Filters>} */ change) => {
    filters.value = { ...by, ...change };
  };
  const options = (/** @type {readonly string[]} */ ids, /** @type {string} */ vocabulary) =>
    ids.map((id) => ({ id, label: t(`${vocabulary}.${id}`) }));
  const styles = useMemo(() => stylesHere(), []);
  return html`
    <div class="pair">
      <${NumberField} label=${t('field.wanted_abv_low')} unit="%" min=${0} max=${25} value=${low}
          onChange=${(/** @type {number | null} */ value) => setPreferredAbv(value, preferred.peek().saidHigh)}
          error=${upsideDown ? t('shelf.upside_down') : null} />
      <${NumberField} label=${t('field.wanted_abv_high')} unit="%" min=${0} max=${25} value=${saidHigh}
          onChange=${(/** @type {number | null} */ value) => setPreferredAbv(preferred.peek().low, value)} />
    </div>
    <${Choices} label=${t('shelf.strict_title')} options=${[{ id: 'strict', label: t('shelf.strict') }]}
        value=${strict.value ? ['strict'] : []}
        onChange=${(/** @type {string[] | null} */ ids) => setStrict(ids !== null)} note=${t('shelf.strict_note')} />
    <${Choice} label=${t('shelf.order')} options=${sortKeys.map((id) => ({ id, label: t(`shelf.order_${id}`) }))}
        value=${order.value} onChange=${(/** @type {string | null} */ id) => {
          order.value = id ?? 'liking';
        }} note=${t(`shelf.order_note_${order.value}`)} />
    <${NumberField} label=${t('shelf.price_high')} unit=${currencySign(defaults.value.currency)} min=${0}
        value=${by.price_high} onChange=${(/** @type {number | null} */ value) => set({ price_high: value })} />
    <${Choices} label=${t('field.colour')} options=${options(vocabularies.vocabularies.colour, 'colour')}
        value=${by.colours} onChange=${(/** @type {string[] | null} */ ids) => set({ colours: ids ?? [] })} />
    <${Choices} label=${t('field.kind')} options=${options(vocabularies.vocabularies.bottle_kind, 'bottle_kind')}
        value=${by.kinds} onChange=${(/** @type {string[] | null} */ ids) => set({ kinds: ids ?? [] })} />
    <${SearchSelect} label=${t('field.style')} items=${styles} value=${by.style} placeholder=${t('shelf.any_style')}
        onChange=${(/** @type {string | null} */ id) => set({ style: id })} />
    <${Choice} label=${t('scale.sweetness')}
        options=${['dry', 'in_between', 'sweet'].map((id) => ({ id, label: t(`shelf.sweetness_${id}`) }))}
        value=${by.sweetness} onChange=${(/** @type {any} */ id) => set({ sweetness: id })} />
    <${Choice} label=${t('shelf.tasted')} hideLabel options=${[{ id: 'untasted', label: t('shelf.untasted') }]}
        value=${by.untasted ? 'untasted' : null}
        onChange=${(/** @type {string | null} */ id) => set({ untasted: id !== null })} />
    <div class="buttons add-buttons">
      <button type="button" class="button" disabled=${!isFiltered(by)} onClick=${() => {
        filters.value = NO_FILTERS;
      }}>${t('shelf.narrow_clear')}</button>
      <button type="button" class="button primary" onClick=${onClose}>${t('shelf.narrow_done')}</button>
    </div>`;
}

function stylesHere() {
  const here = new Set(rows.peek().map((row) => row.label['style']));
  return styleItems().filter((item) => here.has(item.id));
}
