// The tastings as CSV for a spreadsheet; the same columns as webapp/archive/csv.py and webapp/archive/readings.py.
import record from '../spec/record.json' with { type: 'json' };
import { csvText } from '../lib/csv_text.js';
import { RuleError } from '../rules/errors.js';
import { visitTally } from '../rules/label/drinks.js';
import { toleranceRange } from '../rules/label/alcohol_range.js';
import { roundHalfUp } from '../rules/stats/numbers.js';
import { classifyDryness, classifyFinish } from '../rules/tasting/assessments.js';
import { assessQuality } from '../rules/tasting/quality.js';
import { resolveMerged } from '../rules/tasting/resolve_merged.js';
import { instantMs } from '../store/newest_first.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {{ id: string, fields: Fields }} Tasting */

const BOTTLE_COLUMNS = ['name', 'producer', 'vintage', 'non_vintage', 'style', 'region', 'country', 'label_abv'];
const COMPUTED_COLUMNS = [
  'lawful_abv_low',
  'lawful_abv_high',
  'alcohol_poured_g',
  'alcohol_swallowed_g',
  'swallow_assumed',
  'age_at_tasting_years',
  'dryness_class',
  'finish_class',
  'quality_level',
];
const COLUMNS = Object.keys(record.kinds.tasting.fields).filter((name) => name !== 'bottle' && name !== 'example');
/** What is written on a glass before anybody tastes from it. */
const BEFORE_TASTING = new Set([
  ...['bottle', 'visit', 'tasted_at', 'place', 'label_hidden', 'flight_mark', 'serving_c', 'pour_ml'],
  ...['guesses_locked_at', 'uncovered_at', 'example'],
]);
/** The tally needs a country for its number of drinks, which is not used here. */
const ANY_COUNTRY = 'US';

/**
 * @param {Tasting[]} tastings
 * @param {Map<string, Fields>} bottles
 * @param {string | null | undefined} market of the settings
 * @param {string} today YYYY-MM-DD
 * @returns {string[]} lines, the first with a byte order mark, by which spreadsheets know UTF-8
 */
export function tastingsCsv(tastings, bottles, market, today) {
  const heads = ['id', ...BOTTLE_COLUMNS.map((name) => `bottle_${name}`), ...COLUMNS, ...COMPUTED_COLUMNS];
  const at_ms = (/** @type {Tasting} */ { fields }) => instantMs(fields['tasted_at']);
  const sorted = [...tastings].sort((one, other) => at_ms(one) - at_ms(other) || (one.id < other.id ? -1 : 1));
  const rows = sorted.map(({ id, fields }) => {
    const bottle = resolveMerged(bottles, fields['bottle'], (one) => one['merged_into']) ?? {};
    const facts = BOTTLE_COLUMNS.map((name) => bottle[name]);
    return [id, ...facts, ...COLUMNS.map((name) => fields[name]), ...computedCells(fields, bottle, market, today)];
  });
  return [heads, ...rows].map((row, at) => `${at ? '' : '\ufeff'}${row.map(cell).join(',')}\r\n`);
}

/** @param {unknown} value @returns {string} */
export function cell(value) {
  if (value === null || value === undefined) return '';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  const text = Array.isArray(value) ? value.join(' ') : value;
  return typeof text === 'string' ? csvText(text) : String(text);
}

/**
 * @param {Fields} tasting
 * @param {Fields} bottle
 * @param {string | null | undefined} market
 * @param {string} today
 */
function computedCells(tasting, bottle, market, today) {
  const range = attempt(() => lawfulRange(bottle, market, today)) ?? { low: null, high: null };
  const hasRange = range.low !== null && range.high !== null;
  const { sweetness = null, acidity = null, tannin = null, finish_s = null } = tasting;
  return [
    hasRange ? Number(range.low) / 100 : null,
    hasRange ? Number(range.high) / 100 : null,
    ...alcoholCells(tasting, bottle, hasRange ? range : { low: null, high: null }),
    ageYears(tasting, bottle),
    attempt(() => classifyDryness(sweetness, acidity, tannin).code),
    attempt(() => classifyFinish(finish_s)),
    attempt(() => assessQuality(tasting).level),
  ];
}

/** @template T @param {() => T} compute @returns {T | null} null for a value that a rule rejects */
function attempt(compute) {
  try {
    return compute();
  } catch (error) {
    if (error instanceof RuleError) return null;
    throw error;
  }
}

/** @param {Fields} bottle @param {string | null | undefined} market @param {string} today hundredths of a percent */
function lawfulRange(bottle, market, today) {
  const label = { ...bottle, label_market: bottle['label_market'] || market };
  const { label_abv_low: low, label_abv_high: high } = bottle;
  const isReversed = typeof low === 'number' && typeof high === 'number' && low > high;
  return toleranceRange(isReversed ? { ...label, label_abv_low: null, label_abv_high: null } : label, today);
}

/**
 * @param {Fields} tasting
 * @param {Fields} bottle
 * @param {{ low: number | null, high: number | null }} range
 * @returns {(number | boolean | null)[]} grams poured and swallowed, and whether the latter is assumed
 */
function alcoholCells(tasting, bottle, range) {
  const { pour_ml = null, spat } = tasting;
  const swallowed_ml = tasting['swallowed_ml'] ?? (spat === true && pour_ml !== null ? 0 : null);
  if ((pour_ml === null && swallowed_ml === null) || !isTasted(tasting)) return [null, null, null];
  const isAssumed = swallowed_ml === null && typeof spat !== 'boolean';
  if (typeof bottle['label_abv'] !== 'number' && range.low === null) return [null, null, isAssumed];
  const glass = { pour_ml, swallowed_ml, label_abv: bottle['label_abv'], ...range };
  const tally = attempt(() => visitTally([glass], ANY_COUNTRY));
  return [tally && roundHalfUp(tally.poured.grams, 2), tally && roundHalfUp(tally.swallowed.grams, 2), isAssumed];
}

/** @param {Fields} tasting a glass of a flight or a hidden one may stand untouched */
function isTasted(tasting) {
  if (!tasting['flight_mark'] && !tasting['label_hidden']) return true;
  const fields = Object.keys(record.kinds.tasting.fields).filter((name) => !BEFORE_TASTING.has(name));
  return fields.some((name) => (tasting[name] ?? null) !== null);
}

/** @param {Fields} tasting @param {Fields} bottle */
function ageYears({ tasted_at }, { vintage }) {
  const year = Number(/^\d{4}/.exec(tasted_at ?? '')?.[0]);
  return Number.isInteger(vintage) && !Number.isNaN(year) ? Math.max(0, year - vintage) : null;
}
