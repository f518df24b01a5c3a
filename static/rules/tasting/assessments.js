import evidence from '../../spec/evidence.json' with { type: 'json' };
import { interpolate, toHundredths, number, inRange } from '../stats/numbers.js';

/** @type {Record<string, number[]>} */
const FELT_WHERE = evidence.warmth.where;

/**
 * Classify dryness: dry means no sweetness; bone dry is dry and dominated by tannin or acidity
 * (scales 0-10).
 * @param {unknown} sweetness
 * @param {unknown} acidity
 * @param {unknown} tannin
 * @returns {{ code: 'bone_dry' | 'dry' | 'off_dry' | 'medium' | 'sweet' | 'very_sweet' | null, because: string[] }}
 */
export function classifyDryness(sweetness, acidity, tannin) {
  const rules = evidence.dryness;
  const sweet = inRange(sweetness, 'sweetness', 0, 10);
  const marks = { acidity: inRange(acidity, 'acidity', 0, 10), tannin: inRange(tannin, 'tannin', 0, 10) };
  if (sweet === null) return { code: null, because: [] };
  if (sweet > rules.sweet_to) return { code: 'very_sweet', because: [] };
  if (sweet > rules.medium_to) return { code: 'sweet', because: [] };
  if (sweet > rules.off_dry_to) return { code: 'medium', because: [] };
  if (sweet > rules.dry_to) return { code: 'off_dry', because: [] };
  const because = Object.entries(marks)
    .filter(([, mark]) => mark !== null && mark >= rules.marked_from)
    .map(([name]) => name);
  return { code: because.length > 0 ? 'bone_dry' : 'dry', because };
}

/**
 * Classify the finish: `fleeting` below 5 s, `short` below 10, `middle`, `long` from 30. One second
 * is one caudalie.
 * @param {unknown} finishS
 * @returns {'fleeting' | 'short' | 'middle' | 'long' | null}
 */
export function classifyFinish(finishS) {
  const rules = evidence.finish_s;
  const seconds = inRange(finishS, 'finish_s', 0, 3600);
  if (seconds === null) return null;
  if (seconds < rules.short_from) return 'fleeting';
  if (seconds <= rules.short_to) return 'short';
  return seconds >= rules.long_from ? 'long' : 'middle';
}

/**
 * Compare the warmth felt with the printed alcohol and what the label may lawfully hide; see
 * tests/reference/rules/warmth.py.
 * @param {{ warmth?: unknown, warmth_where?: unknown }} tasting
 * @param {{ low?: unknown, high?: unknown }} label a `LabelRange`
 * @param {unknown} [labelAbv] printed percentage; without it the middle of the range
 * @returns {{ code: 'not_judged' | 'no_label' | 'agrees' | 'warmer_but_lawful' |
 *   'warmer_than_lawful' | 'cooler_but_lawful' | 'cooler_than_lawful', felt_low: number | null,
 *   felt_high: number | null }}
 */
export function compareWarmth(tasting, label, labelAbv = null) {
  const felt = feltStrength(tasting);
  if (felt === null) return { code: 'not_judged', felt_low: null, felt_high: null };
  const felt_range = { felt_low: felt.low, felt_high: felt.high };
  const low = number(label.low, 'low');
  const high = number(label.high, 'high');
  const printed = toHundredths(labelAbv, 'label_abv');
  if (low === null || high === null) return { code: 'no_label', ...felt_range };
  const stated = printed ?? (low + high) / 2;
  if (stated < felt.low) return { code: high >= felt.low ? 'warmer_but_lawful' : 'warmer_than_lawful', ...felt_range };
  if (stated > felt.high) return { code: low <= felt.high ? 'cooler_but_lawful' : 'cooler_than_lawful', ...felt_range };
  return { code: 'agrees', ...felt_range };
}

/**
 * Return the range of strengths that place and degree of warmth suggest; if they disagree, all
 * between.
 * @param {{ warmth?: unknown, warmth_where?: unknown }} tasting
 * @returns {{ low: number, high: number } | null}
 */
function feltStrength(tasting) {
  const { scale_low: lowOf, scale_high: highOf } = evidence.warmth;
  const degree = inRange(tasting.warmth, 'warmth', 0, 10);
  const place = tasting.warmth_where;
  const band = typeof place === 'string' && Object.hasOwn(FELT_WHERE, place) ? FELT_WHERE[place] : undefined;
  const where = band ? { low: Number(band[0]), high: Number(band[1]) } : null;
  if (degree === null) return where;
  const scale = { low: interpolate(lowOf, degree), high: interpolate(highOf, degree) };
  if (where === null) return scale;
  const both = { low: Math.max(where.low, scale.low), high: Math.min(where.high, scale.high) };
  return both.low <= both.high ? both : { low: Math.min(where.low, scale.low), high: Math.max(where.high, scale.high) };
}
