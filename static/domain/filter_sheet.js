// The sheet on which a list is filtered, and the filters that every list of wines has.
import { html } from '../lib/ui.js';
import { t } from '../i18n.js';
import vocabularies from '../spec/vocabularies.json' with { type: 'json' };
import { Choices } from '../components/form/choice.js';
import { SearchSelect } from '../components/form/search_select.js';
import { Sheet } from '../components/layout/sheet.js';
import { styleItems } from './bottle/style_search.js';

/** @typedef {{ colours: string[], kinds: string[], style: string | null }} ByWine */

/**
 * @param {{ title: string, open: boolean, onClose: () => void,
 *   Filters: (props: { onClose: () => void }) => unknown }} props
 *   Filters: what the sheet asks, drawn only while it is open
 */
export function FilterSheet({ title, open, onClose, Filters }) {
  return html`<${Sheet} title=${title} open=${open} onClose=${onClose}>
    ${open && html`<${Filters} onClose=${onClose} />`}
  <//>`;
}

/** @param {{ clear: string, onClear: () => void, canClear?: boolean, done: string, onDone: () => void }} props */
export function FilterButtons({ clear, onClear, canClear = true, done, onDone }) {
  return html`<div class="buttons sheet-buttons">
    <button type="button" class="button" disabled=${!canClear} onClick=${onClear}>${clear}</button>
    <button type="button" class="button primary" onClick=${onDone}>${done}</button>
  </div>`;
}

/**
 * @param {{ by: ByWine, set: (change: Partial<ByWine>) => void, styles: Set<unknown>, anyStyle: string }} props
 *   styles: those in the list, for no other can be chosen
 */
export function WineFilters({ by, set, styles, anyStyle }) {
  const options = (/** @type {'colour' | 'bottle_kind'} */ vocabulary) =>
    vocabularies.vocabularies[vocabulary].map((id) => ({ id, label: t(`${vocabulary}.${id}`) }));
  return html`
    <${Choices} label=${t('field.colour')} options=${options('colour')} value=${by.colours}
        onChange=${(/** @type {string[] | null} */ ids) => set({ colours: ids ?? [] })} />
    <${Choices} label=${t('field.kind')} options=${options('bottle_kind')} value=${by.kinds}
        onChange=${(/** @type {string[] | null} */ ids) => set({ kinds: ids ?? [] })} />
    <${SearchSelect} label=${t('field.style')} value=${by.style} placeholder=${anyStyle}
        items=${styleItems().filter((item) => styles.has(item.id))}
        onChange=${(/** @type {string | null} */ id) => set({ style: id })} />`;
}
