// The chilling or warming bottles: time left, estimated temperature, and a form to calibrate the
// place.
import data from '../../spec/serving.json' with { type: 'json' };
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { settingsId } from '../../store/queries.js';
import { save } from '../../store/write.js';
import { NumberField } from '../../components/form/field.js';
import { showToast } from '../../components/layout/toast.js';
import { RuleError } from '../../rules/errors.js';
import { fitTimeConstant, temperatureAfter } from '../../rules/serving/serving.js';
import { Disclosure } from '../../components/layout/disclosure.js';
import { alertAt, chilling, placedName, timeOfDay } from '../../domain/serving/chill_timer.js';
import { endChilling } from '../../domain/serving/chilling_changes.js';
import { bandText, temperatureText, duration } from '../../domain/serving/format.js';
import { temperatureUnit } from '../../domain/units.js';

/** @typedef {import('../../domain/serving/chill_timer.js').Chilling} Chilling */

const TICK_MS = 1000;
const MINUTE_MS = 60_000;
// With a shorter delay the error of the thermometer dominates.
const MIN_DELAY_MIN = 5;

/** @returns {number} the current time, updated each second and when the page becomes visible */
function useNow() {
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    const look = () => setNow(Date.now());
    const tick = setInterval(look, TICK_MS);
    document.addEventListener('visibilitychange', look);
    return () => {
      clearInterval(tick);
      document.removeEventListener('visibilitychange', look);
    };
  }, []);
  return now;
}

export function ChillingBottles() {
  return chilling.value.map((bottle) => html`<${ChillingBottle} key=${bottle.started_ms} bottle=${bottle} />`);
}

/** @param {{ bottle: Chilling }} props */
function ChillingBottle({ bottle }) {
  const now = useNow();
  const { place, started_ms, start_c, air_c, tau_min, freezes_ms } = bottle;
  const passed = Math.max(0, now - started_ms) / MINUTE_MS;
  const left = alertAt(bottle) - now;
  const title = placedName(bottle);
  return html`<section class="chilling" aria-label=${title}>
    <p class="name">${title}</p>
    <p class="countdown figure" role="timer">${countdown(left)}</p>
    <p>
      ${t(left > 0 ? 'evening.ready_between' : 'evening.ready_since', {
        early: timeOfDay(bottle.early_ms),
        late: timeOfDay(bottle.late_ms),
        at: timeOfDay(alertAt(bottle)),
      })}
    </p>
    <p class="soft small">
      ${t('evening.by_now', {
        degrees: temperatureText(temperatureAfter(start_c, air_c, tau_min, passed)),
        band: bandText(bottle),
      })}
    </p>
    ${
      freezes_ms !== null &&
      html`<p class="warm small">
      ${t(now >= freezes_ms ? 'evening.may_freeze_now' : 'evening.may_freeze', { at: timeOfDay(freezes_ms) })}
    </p>`
    }
    <div class="buttons">
      <button type="button" class="button" onClick=${() => stop(bottle)}>${t('evening.taken_out')}</button>
    </div>
    ${
      settingFor(place) &&
      html`<${Disclosure} label=${t('evening.measure')}>
      <${Measured} bottle=${bottle} passed=${passed} />
    <//>`
    }
  </section>`;
}

/** @param {Chilling} bottle */
function stop(bottle) {
  showToast(t('evening.taken'), endChilling(bottle));
}

/** @param {string} place */
export function settingFor(place) {
  return data.places.find((each) => each.id === place)?.setting ?? null;
}

/** @param {number} left_ms */
function countdown(left_ms) {
  const seconds = Math.floor(Math.abs(left_ms) / 1000);
  const two = (/** @type {number} */ figure) => String(figure).padStart(2, '0');
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  return `${left_ms < 0 ? '+' : ''}${hours ? `${hours}:${two(minutes)}` : minutes}:${two(seconds % 60)}`;
}

/**
 * Show the form for a second thermometer reading.
 * @param {{ bottle: Chilling, passed: number }} props
 */
function Measured({ bottle, passed }) {
  const [read_c, setRead] = useState(/** @type {number | null} */ (null));
  const { unit, toDisplay, fromDisplay } = temperatureUnit();
  const learn = () => {
    if (read_c !== null)
      calibratePlace(bottle.place, { start_c: bottle.start_c, end_c: read_c, air_c: bottle.air_c, minutes: passed });
  };
  return html`<p class="field-note">${t('evening.measure_note', { degrees: temperatureText(bottle.start_c) })}</p>
    <${NumberField} label=${t('evening.measured_now')} unit=${unit} value=${read_c === null ? null : toDisplay(read_c)}
        onChange=${(/** @type {number | null} */ typed) => setRead(typed === null ? null : fromDisplay(typed))} />
    <button type="button" class="button" disabled=${read_c === null || passed < MIN_DELAY_MIN} onClick=${learn}>
      ${t('evening.learn_place')}
    </button>
    ${
      passed < MIN_DELAY_MIN &&
      html`<p class="field-note">${t('evening.measure_later', { minutes: MIN_DELAY_MIN })}
    </p>`
    }`;
}

/**
 * Save the time constant of a place from two readings, or show why the readings are impossible.
 * @param {string} place
 * @param {{ start_c: number, end_c: number, air_c: number, minutes: number }} readings
 */
export async function calibratePlace(place, { start_c, end_c, air_c, minutes }) {
  const setting = settingFor(place);
  if (!setting) return false;
  try {
    const tau = Number(fitTimeConstant(start_c, end_c, air_c, minutes).toFixed(1));
    await save('settings', settingsId, { [setting]: tau });
    showToast(t('evening.learned', { place: t(`evening.place_${place}`), tau: duration(tau) }));
    return true;
  } catch (error) {
    const known = error instanceof RuleError ? error.code : 'out_of_reach';
    showToast(t(`evening.unlearned_${known === 'no_change' || known === 'wrong_way' ? known : 'out_of_reach'}`));
    return false;
  }
}
