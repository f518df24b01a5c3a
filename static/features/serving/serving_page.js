// Serving page: the serving range of the wine, and the time to reach it in each place.
import data from '../../spec/serving.json' with { type: 'json' };
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate, toTop } from '../../router.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField } from '../../components/form/field.js';
import { servingBand, servingPlan, scaleTimeConstant, tradeBand } from '../../rules/serving/serving.js';
import { Page } from '../shell/page.js';
import { styleName, styleOf } from '../../domain/style_names.js';
import { currentPour, isLabelHidden, validValues, currentStep } from '../../domain/pour/current_pour.js';
import { pourTitle } from '../../domain/pour/pour_title.js';
import { Calibration } from './calibration.js';
import { requestNotificationPermission, startChilling } from '../../domain/serving/chilling_changes.js';
import { settingFor, ChillingBottles } from './chilling_bottle.js';
import { bandText, temperatureText, duration } from '../../domain/serving/format.js';
import { StylePicker } from '../../domain/bottle/style_picker.js';
import { loadPour } from '../../domain/pour/load_pour.js';
import { cachedSettings, temperatureUnit } from '../../domain/units.js';

/** @typedef {import('../../rules/serving/serving.js').Plan} Plan */
/** @typedef {{ low_c: number, high_c: number }} Band */
/** @typedef {{ plan: Plan, place: string, air_c: number, tau_min: number }} Option */

const DEFAULT_ROOM_C = 21;
const FRIDGE_C = 4;
const PLACES = ['fridge', 'ice', 'ice_unstirred', 'freezer', 'table'];
const STARTS = ['room', 'fridge', 'measured'];

/** @param {{ query: URLSearchParams }} props the selected style is part of the route, so that a restart keeps it */
export function ServingPage({ query }) {
  // After a restart no pour is loaded; the unfinished one names the wine.
  useEffect(() => {
    if (!currentPour.peek()) loadPour(undefined);
  }, []);
  const label = currentPour.value && !isLabelHidden.value ? validValues('bottle') : {};
  const style = styleOf(query.get('style'))?.style_id ?? label['style'] ?? null;
  const setStyle = (/** @type {string | null} */ id) =>
    navigate(id ? `/pour/serving?style=${id}` : '/pour/serving', { replace: true });
  const [from, setFrom] = useState('room');
  const [measured_c, setMeasured] = useState(/** @type {number | null} */ (null));
  const room_c = cachedSettings()['room_c'] ?? DEFAULT_ROOM_C;
  const start_c = from === 'fridge' ? FRIDGE_C : from === 'room' ? room_c : measured_c;
  const bottle = {
    ...label,
    ...(style && style !== label['style'] ? { colour: null, kind: null, label_abv: null } : {}),
  };
  const [aim, setAim] = useState('guides');
  const guides = servingBand(bottle, styleOf(style));
  const usual = tradeBand(bottle, styleOf(style));
  const band = usual && aim === 'trade' ? usual : guides;
  return html`<${Page} title=${t('evening.serving_title')}
      back=${
        currentStep.value !== 'note' && currentPour.value
          ? `/pour/${currentPour.value.tasting}/${currentStep.value}`
          : '/pour/evening'
      }
      trailing="">
    <${ChillingBottles} />
    <p class="serving-band"><span class="name">${bandText(guides)}</span>
      <span class="soft small">
        ${t(`evening.band_of_${style ? 'style' : 'kind'}`, { style: styleName(style) })}
      </span>
      </p>
    <${StylePicker} label=${t('field.style')} value=${style} placeholder=${t('pour.choose_style')}
        onChange=${setStyle} />
    ${usual && html`<${Aim} guides=${guides} usual=${usual} aim=${aim} onChange=${setAim} />`}
    <${Choice} label=${t('evening.stands')} value=${from}
        options=${STARTS.map((id) => ({
          id,
          label:
            id === 'measured'
              ? t('evening.start_measured')
              : t(`evening.start_${id}`, { degrees: temperatureText(id === 'fridge' ? FRIDGE_C : room_c) }),
        }))}
        onChange=${(/** @type {string | null} */ choice) => setFrom(choice ?? 'room')} />
    ${from === 'measured' && html`<${Thermometer} value=${measured_c} onChange=${setMeasured} />`}
    ${
      start_c !== null &&
      html`<${Options} name=${isLabelHidden.value || !label['name'] ? '' : pourTitle()}
        start_c=${start_c} band=${band} bottle=${bottle} />`
    }
    <${Calibration} />
    <p class="field-note">${t('evening.serving_basis', { store: temperatureText(Math.round(data.bands.store_c)) })}</p>
  <//>`;
}

/**
 * Select the target of the times: the serving range, or the one at which professionals often judge.
 * @param {{ guides: Band, usual: Band, aim: string, onChange: (aim: string) => void }} props
 */
function Aim({ guides, usual, aim, onChange }) {
  const options = [
    { id: 'guides', label: t('evening.aim_guides', { band: bandText(guides) }) },
    { id: 'trade', label: t('evening.aim_trade', { band: bandText(usual) }) },
  ];
  const { low_c, high_c } = data.bands.trade;
  return html`<${Choice} label=${t('evening.aim')} value=${aim} options=${options}
    note=${t('evening.aim_note', { band: bandText({ low_c, high_c }) })}
    onChange=${(/** @type {string | null} */ choice) => onChange(choice ?? aim)} />`;
}

/** @param {{ value: number | null, onChange: (celsius: number | null) => void }} props */
function Thermometer({ value, onChange }) {
  const { unit, toDisplay, fromDisplay } = temperatureUnit();
  return html`<${NumberField} label=${t('evening.thermometer')} unit=${unit} min=${toDisplay(-5)} max=${toDisplay(40)}
      value=${value === null ? null : toDisplay(value)}
      onChange=${(/** @type {number | null} */ typed) => onChange(typed === null ? null : fromDisplay(typed))} />`;
}

/**
 * @param {{ name: string, start_c: number, band: Band, bottle: Record<string, any> }} props places
 *   that reach the range, fastest first
 */
function Options({ name, start_c, band, bottle }) {
  const options = PLACES.map((place) => optionFor(place, start_c, band, bottle));
  if (options[0]?.plan.direction === 'ready') {
    const minutesReady = options.find(({ place }) => place === 'table')?.plan.leaves_min ?? null;
    return html`<p class="voice">
      ${t('evening.ready_already')} ${
        minutesReady !== null && t('evening.stays_ready', { duration: duration(minutesReady) })
      }
    </p>`;
  }
  const reaching = options
    .filter(({ plan }) => plan.direction !== 'never')
    .sort((a, b) => Number(a.plan.minutes) - Number(b.plan.minutes));
  if (!reaching.length) return html`<p class="voice">${t('evening.no_way')}</p>`;
  return html`<h2>${t(reaching[0]?.plan.direction === 'cool' ? 'evening.to_cool' : 'evening.to_warm')}</h2>
    <ul class="ruled">
      ${reaching.map(
        (option) => html`<${OptionRow} key=${option.place} option=${option}
          onStart=${() => start(option, { name, start_c, band })} />`,
      )}
    </ul>`;
}

/**
 * @param {string} place
 * @param {number} start_c
 * @param {Band} band
 * @param {Record<string, any>} bottle
 * @returns {Option}
 */
function optionFor(place, start_c, band, bottle) {
  const own = cachedSettings();
  const setting = settingFor(place);
  const usual = data.places.find((each) => each.id === place);
  const air_c = place === 'table' ? (own['room_c'] ?? DEFAULT_ROOM_C) : (usual?.air_c ?? DEFAULT_ROOM_C);
  const tau = (setting ? own[setting] : null) ?? null;
  const volume_ml = bottle['volume_ml'] ?? data.model.volume_ml;
  const plan = servingPlan(place, start_c, band, { air_c, tau_min: tau, volume_ml, abv: bottle['label_abv'] ?? null });
  return { plan, place, air_c, tau_min: scaleTimeConstant(tau ?? usual?.tau_min ?? 1, volume_ml) };
}

/** @param {{ option: Option, onStart: () => void }} props */
function OptionRow({ option: { plan, place }, onStart }) {
  const learned = settingFor(place) && cachedSettings()[settingFor(place) ?? ''];
  return html`<li class="way"><span class="grow"><span class="name">${t(`evening.place_${place}`)}</span>
      <span class="figure">
      ${duration(plan.minutes ?? 0)} <span class="soft small">
        ${t('evening.between', { low: duration(plan.minutes_low ?? 0), high: duration(plan.minutes_high ?? 0) })}
      </span>
      </span>
      ${learned && html`<span class="soft small">${t('evening.by_own')}</span>`}
      ${
        plan.freezes_min !== null &&
        html`<span class="warm small">
        ${t('evening.freezes_from', { after: duration(plan.freezes_min) })}
      </span>`
      }
      </span>
    <button type="button" class="button" aria-label=${t('evening.start_in', { place: t(`evening.place_${place}`) })}
        onClick=${onStart}>
      ${t('evening.start')}
    </button>
    </li>`;
}

/** @param {Option} way @param {{ name: string, start_c: number, band: Band }} from */
async function start({ plan, place, air_c, tau_min }, { name, start_c, band }) {
  await startChilling(plan, { name, place, start_c, air_c, tau_min, ...band });
  toTop();
  requestNotificationPermission();
}
