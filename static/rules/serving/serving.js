import data from '../../spec/serving.json' with { type: 'json' };
import { freezingPointC } from '../label/alcoholometry.js';
import { RuleError } from '../errors.js';
import { number, requiredInRange, inRange } from '../stats/numbers.js';

const COLDEST_C = -50;
const HOTTEST_C = 60;
const MAX_MINUTES = 100_000;

/**
 * The physics stands in tests/reference/rules/serving.py: one lump, T(t) = Ta + (T0 - Ta) exp(-t / tau).
 * @typedef {{ low_c: number, high_c: number }} Band
 * @typedef {{ direction: 'cool' | 'warm' | 'ready' | 'never', target_c: number, minutes: number | null,
 *   minutes_low: number | null, minutes_high: number | null, leaves_min: number | null, freezes_min: number | null
 * }} Plan
 * @typedef {{ air_c?: unknown, tau_min?: unknown, volume_ml?: unknown, abv?: unknown }} Conditions
 */

/**
 * Compute the temperature in degrees C after some minutes in a place.
 * @param {unknown} startC
 * @param {unknown} airC
 * @param {unknown} tauMin
 * @param {unknown} minutes
 */
export function temperatureAfter(startC, airC, tauMin, minutes) {
  const start = celsius(startC, 'start_c');
  const air = celsius(airC, 'air_c');
  const passed = requiredInRange(minutes, 'minutes', 0, MAX_MINUTES);
  return air + (start - air) * Math.exp(-passed / tauOf(tauMin));
}

/**
 * Compute the minutes until the bottle reaches a temperature; null if the place never takes it
 * there.
 * @param {unknown} startC
 * @param {unknown} targetC
 * @param {unknown} airC
 * @param {unknown} tauMin
 * @returns {number | null}
 */
export function coolingMinutes(startC, targetC, airC, tauMin) {
  const start = celsius(startC, 'start_c');
  const air = celsius(airC, 'air_c');
  const target = celsius(targetC, 'target_c');
  const tau = tauOf(tauMin);
  if (start === target) return 0;
  if (start === air) return null;
  const left = (target - air) / (start - air);
  return left > 0 && left < 1 ? -tau * Math.log(left) : null;
}

/**
 * Fit the time constant in minutes to two thermometer readings.
 * @param {unknown} startC
 * @param {unknown} endC
 * @param {unknown} airC
 * @param {unknown} minutes
 */
export function fitTimeConstant(startC, endC, airC, minutes) {
  const start = celsius(startC, 'start_c');
  const end = celsius(endC, 'end_c');
  const air = celsius(airC, 'air_c');
  const passed = requiredInRange(minutes, 'minutes', 0.1, MAX_MINUTES);
  if (end === start || start === air) throw new RuleError('no_change', 'end_c');
  const left = (end - air) / (start - air);
  if (left <= 0 || left >= 1) throw new RuleError('wrong_way', 'end_c');
  return -passed / Math.log(left);
}

/**
 * Scale the time constant of 750 ml to another size: heat content grows with volume, surface with
 * its power 2/3.
 * @param {unknown} tauMin
 * @param {unknown} volumeMl
 */
export function scaleTimeConstant(tauMin, volumeMl) {
  const volume = requiredInRange(volumeMl, 'volume_ml', 20, 30_000);
  return tauOf(tauMin) * (volume / data.model.volume_ml) ** (1 / 3);
}

/**
 * Return the style's serving range, else that of the bottle's kind and colour.
 * @param {{ kind?: unknown, colour?: unknown }} bottle
 * @param {{ serve_c_low: number, serve_c_high: number } | null} [style]
 * @returns {Band}
 */
export function servingBand(bottle, style = null) {
  if (style !== null) return { low_c: style.serve_c_low, high_c: style.serve_c_high };
  const group = data.bands.by_group.find(
    (each) =>
      (each.kind === null || each.kind === bottle.kind) && (each.colour === null || each.colour === bottle.colour),
  );
  if (!group) throw new Error('the last group takes every bottle');
  return { low_c: group.low_c, high_c: group.high_c };
}

/**
 * Return the trade's range for a still red or white; null if it has none, or if `servingBand` lies
 * within it in whole degrees.
 * @param {{ kind?: unknown, colour?: unknown }} bottle
 * @param {{ serve_c_low: number, serve_c_high: number, kind?: string, colour?: string } | null} [style]
 * @returns {Band | null}
 */
export function tradeBand(bottle, style = null) {
  const kind = style?.kind ?? bottle.kind ?? null;
  const colour = style?.colour ?? bottle.colour ?? null;
  const trade = data.bands.trade.by_colour.find((each) => each.colour === colour);
  if (!trade || (kind !== null && kind !== 'still')) return null;
  const own = servingBand(bottle, style);
  const within = Math.round(trade.low_c) <= Math.round(own.low_c) && Math.round(own.high_c) <= Math.round(trade.high_c);
  return within ? null : { low_c: trade.low_c, high_c: trade.high_c };
}

/**
 * Compute the time to the middle of the range. Places are table, fridge, freezer, ice,
 * ice_unstirred and glass.
 * @param {string} place
 * @param {unknown} startC
 * @param {{ low_c?: unknown, high_c?: unknown }} band
 * @param {Conditions} conditions `air_c` as measured, `tau_min` as calibrated for 750 ml, `volume_ml`, `abv`
 * @returns {Plan}
 */
export function servingPlan(place, startC, band, conditions) {
  const usual = data.places.find((each) => each.id === place);
  if (!usual) throw new RuleError('unknown_place', 'place');
  const low = celsius(band.low_c, 'low_c');
  const high = celsius(band.high_c, 'high_c');
  if (low > high) throw new RuleError('band_reversed', 'low_c');
  const start = celsius(startC, 'start_c');
  const target = (low + high) / 2;
  const air = celsius(number(conditions.air_c, 'air_c') ?? usual.air_c, 'air_c');
  const [fast, typical, slow] = tausOf(usual, conditions);
  const minutes = coolingMinutes(start, target, air, typical);
  // The default is the strength of a light wine, which freezes earlier than most.
  const freezing = freezingPointC(inRange(conditions.abv, 'abv', 0, 100) ?? 11);
  return {
    direction: directionOf(start, low, high, target, minutes),
    target_c: target,
    minutes,
    minutes_low: coolingMinutes(start, target, air, fast),
    minutes_high: coolingMinutes(start, target, air, slow),
    leaves_min: coolingMinutes(start, start > target ? low : high, air, fast),
    // If the place is not below the freezing point, the bottle cannot freeze, whatever the alarm
    // margin says.
    freezes_min: air < freezing ? coolingMinutes(start, freezing + data.freezing.alarm_above_c, air, fast) : null,
  };
}

/**
 * @param {number} start
 * @param {number} low
 * @param {number} high
 * @param {number} target
 * @param {number | null} minutes
 */
function directionOf(start, low, high, target, minutes) {
  if (low <= start && start <= high) return 'ready';
  if (minutes === null) return 'never';
  return start > target ? 'cool' : 'warm';
}

/**
 * Return the fast, typical and slow time constants in minutes for the bottle's size.
 * @param {{ id: string, tau_low_min: number, tau_min: number, tau_high_min: number }} usual
 * @param {Conditions} conditions
 * @returns {[number, number, number]}
 */
function tausOf(usual, conditions) {
  const own = number(conditions.tau_min, 'tau_min');
  const spread = data.calibrated_spread;
  const [fast, typical, slow] =
    own === null
      ? [usual.tau_low_min, usual.tau_min, usual.tau_high_min]
      : [own * (1 - spread), own, own * (1 + spread)];
  // The volume of a glass does not depend on the bottle.
  const volumeMl = number(conditions.volume_ml, 'volume_ml');
  const size = usual.id === 'glass' ? data.model.volume_ml : (volumeMl ?? data.model.volume_ml);
  return [scaleTimeConstant(fast, size), scaleTimeConstant(typical, size), scaleTimeConstant(slow, size)];
}

/**
 * @param {unknown} value
 * @param {string} field
 */
function celsius(value, field) {
  return requiredInRange(value, field, COLDEST_C, HOTTEST_C);
}

/** @param {unknown} value */
function tauOf(value) {
  return requiredInRange(value, 'tau_min', 0.1, MAX_MINUTES);
}
