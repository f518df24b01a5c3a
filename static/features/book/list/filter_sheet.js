// Sheet with all filters of the notebook.
import { html, useMemo } from '../../../lib/ui.js';
import { abv, date } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { RangeSlider } from '../../../components/form/range_slider.js';
import { abvRangeText } from '../../../domain/label_range_text.js';
import { FilterButtons, FilterSheet, WineFilters } from '../../../domain/filter_sheet.js';
import { searchIndex } from '../../../domain/search_index.js';
import { countryName } from '../../../domain/country_names.js';
import { setFilter, filters, results, clearFilters } from './search_state.js';

const ABV = { min: 5, max: 22, step: 0.5 };
const LIKING = { min: 1, max: 9, step: 1 };

/** @param {{ open: boolean, onClose: () => void }} props */
export function BookFilterSheet(props) {
  return html`<${FilterSheet} ...${props} title=${t('book.filters')} Filters=${Filters} />`;
}

/** @param {{ onClose: () => void }} props */
function Filters({ onClose }) {
  const by = filters.value;
  const here = useMemo(usedValues, [searchIndex.value]);
  const picker = (/** @type {'country' | 'grape' | 'place' | 'year'} */ name, /** @type {string} */ label) =>
    html`<${SearchSelect} label=${label} items=${here[name]} value=${by[name]} placeholder=${t('book.any')}
        valueText=${name === 'year' && by.year ? periodText(by.year) : ''}
        onChange=${(/** @type {string | null} */ id) => setFilter({ [name]: id })} />`;
  return html`
    <${RangeFilter} label=${t('field.liking')} lowLabel=${t('book.liking_from')} highLabel=${t('book.liking_to')}
        name="liking" range=${LIKING} format=${likingName} rangeText=${likingText} />
    <${RangeFilter} label=${t('field.label_abv')} lowLabel=${t('field.label_abv_low')}
        highLabel=${t('field.label_abv_high')} name="abv" range=${ABV} format=${abv} rangeText=${abvRangeText} />
    <${WineFilters} by=${by} set=${setFilter} styles=${here.styles} anyStyle=${t('book.any')} />
    ${picker('country', t('field.country'))}
    ${picker('grape', t('field.grapes'))}
    ${picker('place', t('field.place'))}
    ${picker('year', t('book.year'))}
    <${FilterButtons} clear=${t('book.show_all')} onClear=${clearFilters}
        done=${t('book.show_found', { count: results.value?.length ?? 0 })} onDone=${onClose} />`;
}

/**
 * @param {{ label: string, lowLabel: string, highLabel: string, name: 'liking' | 'abv',
 *   range: { min: number, max: number, step: number }, format: (value: number) => string,
 *   rangeText: (low: number | null, high: number | null) => string }} props
 */
function RangeFilter({ label, lowLabel, highLabel, name, range, format, rangeText }) {
  const [low, high] = [filters.value[`${name}_low`], filters.value[`${name}_high`]];
  const isOpen = low === null && high === null;
  return html`<p class="label">${label}</p>
    <${RangeSlider} lowLabel=${lowLabel} highLabel=${highLabel} ...${range} low=${low} high=${high} format=${format}
        onChange=${(/** @type {number | null} */ from, /** @type {number | null} */ to) =>
          setFilter({ [`${name}_low`]: from, [`${name}_high`]: to })} />
    <p class="soft small range-text">
      ${isOpen ? t('book.any') : rangeText(low, high)}
    </p>`;
}

/** @param {string} period a year, or the month of the page that looks back */
export function periodText(period) {
  return period[4] ? date(`${period}-01`, { month: 'long', year: 'numeric' }) : period;
}

/** @param {number} value */
function likingName(value) {
  return t(`liking.${value}`);
}

/** @param {number | null} low @param {number | null} high */
function likingText(low, high) {
  return `${likingName(low ?? LIKING.min)} \u2013 ${likingName(high ?? LIKING.max)}`;
}

/** Collect the values that occur in the notebook; only these can be selected. */
function usedValues() {
  const entries = searchIndex.value ?? [];
  const values = (/** @type {(entry: import('../../../domain/search_index.js').Entry) => string | null} */ of) =>
    [...new Set(entries.map(of).filter((value) => value !== null && value !== ''))].map(String);
  const items = (/** @type {string[]} */ ids, /** @type {(id: string) => string} */ name) =>
    ids
      .map((id) => ({ id, label: name(id), find: plainText(name(id)) }))
      .sort((a, b) => a.label.localeCompare(b.label));
  return {
    styles: new Set(values((entry) => entry.about.style)),
    country: items(
      values((entry) => entry.about.country),
      countryName,
    ),
    grape: items([...new Set(entries.flatMap(({ about }) => about.grapes))], (grape) => grape),
    place: items(
      values((entry) => entry.place),
      (place) => place,
    ),
    year: items(
      values((entry) => entry.at.slice(0, 4)),
      (year) => year,
    ).reverse(),
  };
}
