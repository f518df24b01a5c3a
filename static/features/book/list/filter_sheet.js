// Sheet with all filters of the notebook.
import { html, useMemo } from '../../../lib/ui.js';
import { abv } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { Choices } from '../../../components/form/choice.js';
import { plainText } from '../../../lib/plain_text.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { RangeSlider } from '../../../components/form/range_slider.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { styleItems } from '../../../domain/bottle/style_search.js';
import { searchIndex } from './search_index.js';
import { countryName } from '../../../domain/country_names.js';
import { setFilter, filters, results, clearFilters } from './search_state.js';

const ABV = { min: 5, max: 22, step: 0.5 };
const LIKING = { min: 1, max: 9, step: 1 };

/** @param {{ open: boolean, onClose: () => void }} props */
export function FilterSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('book.filters')} open=${open} onClose=${onClose}>
    ${open && html`<${AllFilters} onClose=${onClose} />`}
  <//>`;
}

/** @param {{ onClose: () => void }} props */
function AllFilters({ onClose }) {
  const by = filters.value;
  const here = useMemo(whatIsHere, [searchIndex.value]);
  const options = (/** @type {'colour' | 'bottle_kind'} */ vocabulary) =>
    vocabularies.vocabularies[vocabulary].map((id) => ({ id, label: t(`${vocabulary}.${id}`) }));
  const picker = (/** @type {'style' | 'country' | 'place' | 'year'} */ name, /** @type {string} */ label) =>
    html`<${SearchSelect} label=${label} items=${here[name]} value=${by[name]} placeholder=${t('book.any')}
        onChange=${(/** @type {string | null} */ id) => setFilter({ [name]: id })} />`;
  return html`
    <p class="label">${t('field.liking')}</p>
    <${RangeSlider} lowLabel=${t('book.liking_from')} highLabel=${t('book.liking_to')} ...${LIKING} low=${by.liking_low}
        high=${by.liking_high} said=${(/** @type {number} */ value) => t(`liking.${value}`)}
        onChange=${(/** @type {number | null} */ low, /** @type {number | null} */ high) =>
          setFilter({ liking_low: low, liking_high: high })} />
    <p class="soft small range-said">
      ${
        by.liking_low === null && by.liking_high === null
          ? t('book.any')
          : `${t(`liking.${by.liking_low ?? LIKING.min}`)} \u2013 ${t(`liking.${by.liking_high ?? LIKING.max}`)}`
      }
    </p>
    <p class="label">${t('field.label_abv')}</p>
    <${RangeSlider} lowLabel=${t('field.label_abv_low')} highLabel=${t('field.label_abv_high')} ...${ABV}
        low=${by.abv_low} high=${by.abv_high} said=${abv}
        onChange=${(/** @type {number | null} */ low, /** @type {number | null} */ high) =>
          setFilter({ abv_low: low, abv_high: high })} />
    <p class="soft small range-said">
      ${
        by.abv_low === null && by.abv_high === null
          ? t('book.any')
          : `${abv(by.abv_low ?? ABV.min)} \u2013 ${abv(by.abv_high ?? ABV.max)}`
      }
    </p>
    <${Choices} label=${t('field.colour')} options=${options('colour')} value=${by.colours}
        onChange=${(/** @type {string[] | null} */ ids) => setFilter({ colours: ids ?? [] })} />
    <${Choices} label=${t('field.kind')} options=${options('bottle_kind')} value=${by.kinds}
        onChange=${(/** @type {string[] | null} */ ids) => setFilter({ kinds: ids ?? [] })} />
    ${picker('style', t('field.style'))}
    ${picker('country', t('field.country'))}
    ${picker('place', t('field.place'))}
    ${picker('year', t('book.year'))}
    <div class="buttons sheet-buttons">
    <button type="button" class="button" onClick=${clearFilters}>${t('book.show_all')}
    </button>
      <button type="button" class="button primary" onClick=${onClose}>
        ${t('book.show_found', { count: results.value?.length ?? 0 })}
      </button>
      </div>`;
}

/** Collect the values that occur in the notebook; only these can be selected. */
function whatIsHere() {
  const entries = searchIndex.value ?? [];
  const said = (/** @type {(entry: import('./search_index.js').Entry) => string | null} */ of) =>
    [...new Set(entries.map(of).filter((value) => value !== null && value !== ''))].map(String);
  const items = (/** @type {string[]} */ ids, /** @type {(id: string) => string} */ name) =>
    ids
      .map((id) => ({ id, label: name(id), find: plainText(name(id)) }))
      .sort((a, b) => a.label.localeCompare(b.label));
  const styles = new Set(said((entry) => entry.about.style));
  return {
    style: styleItems().filter((item) => styles.has(item.id)),
    country: items(
      said((entry) => entry.about.country),
      countryName,
    ),
    place: items(
      said((entry) => entry.place),
      (place) => place,
    ),
    year: items(
      said((entry) => entry.at.slice(0, 4)),
      (year) => year,
    ).reverse(),
  };
}
