import data from '../../spec/drinks.json' with { type: 'json' };
import { RuleError } from '../errors.js';
import { number, inRange } from '../stats/numbers.js';

const MAX_VOLUME_ML = 30_000;

/**
 * @typedef {{ id: string, grams: number | null, pure_ml: number | null, g_per_ml: number | null }} Place
 * @typedef {{ ml: number, grams: number, grams_low: number, grams_high: number, drinks: number, drinks_low: number,
 *   drinks_high: number }} Swallow
 * @typedef {{ pour_ml?: unknown, swallowed_ml?: unknown, label_abv?: unknown, low?: unknown, high?: unknown }}
 *   CountedPour
 */

/**
 * Poured and swallowed over some pours; see `visit_tally` in tests/reference/rules/drinks.py.
 * @param {CountedPour[]} pours volumes in ml, `label_abv` in percent, `low` and `high` in hundredths of a percent
 * @param {string} place
 */
export function visitTally(pours, place) {
  const size = sizeOf(place);
  const poured = emptySum();
  const swallowed = emptySum();
  const counts = { unknown_strength: 0, unknown_volume: 0, swallowed_not_said: 0, swallowed_over_poured: 0 };
  for (const pour of pours) {
    const volume = inRange(pour.pour_ml, 'pour_ml', 0, MAX_VOLUME_ML);
    const drunk = inRange(pour.swallowed_ml, 'swallowed_ml', 0, MAX_VOLUME_ML);
    const strengths = strengthsOf(pour);
    if (volume === null && drunk === null) counts.unknown_volume += 1;
    else counts.unknown_strength += Number(strengths === null);
    counts.swallowed_not_said += Number(volume !== null && drunk === null);
    counts.swallowed_over_poured += Number(volume !== null && drunk !== null && drunk > volume);
    add(poured, volume === null || (drunk ?? 0) > volume ? drunk : volume, strengths);
    add(swallowed, drunk ?? volume, strengths);
  }
  return { poured: rounded(poured, size), swallowed: rounded(swallowed, size), pours: pours.length, ...counts };
}

/**
 * Return sums of zero: millilitres of liquid, and of ethanol at the lowest, printed and highest
 * strength.
 */
function emptySum() {
  return { ml: 0, low: 0, printed: 0, high: 0 };
}

/**
 * @param {ReturnType<typeof emptySum>} sum
 * @param {number | null} volumeMl
 * @param {{ low: number, printed: number, high: number } | null} strengths
 */
function add(sum, volumeMl, strengths) {
  if (volumeMl === null) return;
  sum.ml += volumeMl;
  if (strengths === null) return;
  sum.low += (volumeMl * strengths.low) / 100;
  sum.printed += (volumeMl * strengths.printed) / 100;
  sum.high += (volumeMl * strengths.high) / 100;
}

/**
 * @param {ReturnType<typeof emptySum>} sum
 * @param {Place} size
 * @returns {Swallow}
 */
function rounded(sum, size) {
  return {
    ml: sum.ml,
    grams: toGrams(sum.printed),
    grams_low: toGrams(sum.low),
    grams_high: toGrams(sum.high),
    drinks: toDrinks(sum.printed, size),
    drinks_low: toDrinks(sum.low, size),
    drinks_high: toDrinks(sum.high, size),
  };
}

/**
 * Return the lowest, printed and highest strength in percent; a missing number is the middle of its
 * range.
 * @param {CountedPour} pour
 */
function strengthsOf(pour) {
  const printed = inRange(pour.label_abv, 'label_abv', 0, 100);
  const low = number(pour.low, 'low');
  const high = number(pour.high, 'high');
  if (low === null || high === null) return printed === null ? null : { low: printed, printed, high: printed };
  return { low: low / 100, printed: printed ?? (low + high) / 200, high: high / 100 };
}

/** @param {number} pureMl */
function toGrams(pureMl) {
  return pureMl * data.ethanol_g_per_ml;
}

/**
 * @param {number} pureMl
 * @param {Place} size
 */
function toDrinks(pureMl, size) {
  if (size.pure_ml !== null) return pureMl / size.pure_ml;
  return (pureMl * (size.g_per_ml ?? data.ethanol_g_per_ml)) / Number(size.grams);
}

/**
 * @param {string} place
 * @returns {Place}
 */
function sizeOf(place) {
  const found = data.places.find((each) => each.id === place);
  if (!found) throw new RuleError('unknown_place', 'place');
  return found;
}
