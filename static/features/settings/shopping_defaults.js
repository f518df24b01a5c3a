// Defaults for shelf and pours: preferred alcohol, budget, room temperature, pour size.
import { html } from '../../lib/ui.js';
import { abv } from '../../lib/format.js';
import { NumberField } from '../../components/form/field.js';
import { PriceField } from '../../components/form/price_field.js';
import { RangeSlider } from '../../components/form/range_slider.js';
import { t } from '../../i18n.js';
import { abvRangeText } from '../../domain/label_range_text.js';
import { temperatureUnit, volumeUnit } from '../../domain/units.js';
import { saveSettings, setter, ownerSettings } from './owner_settings.js';

const ABV = { min: 5, max: 20, step: 0.5 };
const ROOM_TEMPERATURE_C = { min: 5, max: 40 };
const POUR_ML = { min: 5, max: 500 };

export function ShoppingDefaults() {
  const { wanted_abv_low: low = null, wanted_abv_high: high = null, budget, currency } = ownerSettings();
  return html`<section class="settings-part" aria-labelledby="settings-wanted">
    <h2 id="settings-wanted">${t('settings.wanted')}</h2>
    <div class="field">
      <div class="line-head">
      <span class="label">${t('settings.wanted_abv')}
      </span>
      <span class="figure">${rangeText(low, high)}
      </span>
      </div>
      <${RangeSlider} ...${ABV} low=${onLine(low)} high=${onLine(high)} lowLabel=${t('settings.wanted_low')}
          highLabel=${t('settings.wanted_high')} format=${abv}
        onChange=${(/** @type {number | null} */ from, /** @type {number | null} */ to) => {
          saveSettings({ wanted_abv_low: from, wanted_abv_high: to });
        }} />
      <p class="field-note">${t('settings.wanted_note')}</p>
    </div>
    <${PriceField} label=${t('field.budget')} currency=${currency} value=${budget}
        note=${t('settings.budget_note')} onChange=${setter('budget')} />
    <${NumberSetting} label=${t('field.room_c')} field="room_c" unit=${temperatureUnit()}
      bounds=${ROOM_TEMPERATURE_C} />
    <${NumberSetting} label=${t('settings.pour')} field="pour_ml" unit=${volumeUnit()} bounds=${POUR_ML} />
  </section>`;
}

/** Clip to the axis; a value set elsewhere may be outside. @param {number | null} value */
function onLine(value) {
  return value === null ? null : Math.min(ABV.max, Math.max(ABV.min, value));
}

/**
 * Edit a number that is saved in the record's unit and shown in the user's.
 * @param {{ label: string, field: string, unit: import('../../domain/units.js').Unit, bounds: { min: number, max:
 *   number } }} props
 */
function NumberSetting({ label, field, unit, bounds }) {
  const value = ownerSettings()[field];
  const write = (/** @type {number | null} */ displayed) => {
    saveSettings({ [field]: displayed === null ? null : unit.fromDisplay(displayed) });
  };
  return html`<${NumberField} key=${unit.unit} label=${label} unit=${unit.unit}
  min=${Math.ceil(unit.toDisplay(bounds.min))}
      max=${Math.floor(unit.toDisplay(bounds.max))}
    value=${typeof value === 'number' ? unit.toDisplay(value) : null} onChange=${write} />`;
}

/** @param {number | null} low @param {number | null} high */
function rangeText(low, high) {
  return abvRangeText(low !== null && low > ABV.min ? low : null, high !== null && high < ABV.max ? high : null);
}
