// Derives the time constant of the user's fridge, ice or freezer from two thermometer readings.
import data from '../../spec/serving.json' with { type: 'json' };
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { settingsId } from '../../store/queries.js';
import { save } from '../../store/write.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField } from '../../components/form/field.js';
import { Disclosure } from '../../components/layout/disclosure.js';
import { calibratePlace, settingFor } from './chilling_bottle.js';
import { temperatureText, duration } from '../../domain/serving/format.js';
import { cachedSettings, temperatureUnit } from '../../domain/units.js';

/**
 * @typedef {{ start_c: number | null, end_c: number | null, air_c: number | null, minutes: number | null }} Readings
 */

/** @type {Readings} */
const NONE = { start_c: null, end_c: null, air_c: null, minutes: null };
const PLACES = data.places.filter((place) => place.setting !== null).map((place) => place.id);

export function Calibration() {
  const [place, setPlace] = useState('fridge');
  const [read, setRead] = useState(NONE);
  const usual = data.places.find((each) => each.id === place);
  const air_c = read.air_c ?? (place === 'table' ? cachedSettings()['room_c'] : null) ?? usual?.air_c ?? 0;
  const own = cachedSettings()[settingFor(place) ?? ''];
  const learn = async () => {
    const { start_c, end_c, minutes } = read;
    if (
      start_c !== null &&
      end_c !== null &&
      minutes !== null &&
      (await calibratePlace(place, { start_c, end_c, air_c, minutes }))
    )
      setRead(NONE);
  };
  return html`<${Disclosure} label=${t('evening.calibrate')}><p class="field-note">${t('evening.calibrate_note')}</p>
    <${Choice} label=${t('evening.place')} value=${place}
        options=${PLACES.map((id) => ({ id, label: t(`evening.place_${id}`) }))} onChange=${(
          /** @type {string | null} */ choice,
        ) => {
          if (choice) setPlace(choice);
        }} />
    <div class="pair">
      <${Degrees} label=${t('evening.first_reading')} value=${read.start_c}
          onChange=${(/** @type {number | null} */ start_c) => setRead({ ...read, start_c })} />
      <${Degrees} label=${t('evening.second_reading')} value=${read.end_c}
          onChange=${(/** @type {number | null} */ end_c) => setRead({ ...read, end_c })} />
      </div>
    <div class="pair">
      <${NumberField} label=${t('evening.minutes_between')} unit=${t('evening.min')} min=${1} max=${1440}
          value=${read.minutes} onChange=${(/** @type {number | null} */ minutes) => setRead({ ...read, minutes })} />
      <${Degrees} label=${t('evening.air')} value=${read.air_c} placeholder=${temperatureText(air_c)}
          onChange=${(/** @type {number | null} */ air) => setRead({ ...read, air_c: air })} />
      </div>
    <button type="button" class="button"
        disabled=${read.start_c === null || read.end_c === null || read.minutes === null} onClick=${learn}>
      ${t('evening.learn_place')}
    </button>
    ${
      own &&
      html`<p class="field-note">${t('evening.known_place', { place: t(`evening.place_${place}`), tau: duration(own) })}
      </p>
      <button type="button" class="button plain"
          onClick=${() => save('settings', settingsId, { [settingFor(place) ?? '']: null })}>
        ${t('evening.forget_place')}
      </button>`
    }<//>`;
}

/**
 * @param {{ label: string, value: number | null, placeholder?: string, onChange: (celsius: number | null) => void }}
 *   props
 */
function Degrees({ label, value, placeholder = '', onChange }) {
  const { unit, toDisplay, fromDisplay } = temperatureUnit();
  return html`<${NumberField} label=${label} unit=${unit} placeholder=${placeholder}
      value=${value === null ? null : toDisplay(value)}
      onChange=${(/** @type {number | null} */ typed) => onChange(typed === null ? null : fromDisplay(typed))} />`;
}
