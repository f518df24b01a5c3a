import evidence from '../../spec/evidence.json' with { type: 'json' };
import { complexityEvidence } from './nose.js';
import { interpolate, roundHalfUp, inRange } from '../stats/numbers.js';
import { classifyFinish } from './assessments.js';

const RULES = evidence.quality;
const MIN_JUDGED = 2;
const NAMES = ['finish', 'complexity', 'balance'];

/**
 * @typedef {{ of: string, code: string, value: number | null, pull: number }} Reason
 * @typedef {{ level: 'slight' | 'sound' | 'fine' | 'rare' | null, reasons: Reason[], missing: string[] }} Quality
 */

/**
 * Assess quality from `finish_s`, `complexity`, `balance` and `standout`, with reasons; liking is
 * never used.
 * @param {Record<string, unknown>} tasting
 * @returns {Quality}
 */
export function assessQuality(tasting) {
  const found = [finish(tasting), complexity(tasting), balance(tasting)];
  const reasons = found.filter((each) => each !== null);
  const missing = NAMES.filter((_, index) => found[index] === null);
  if (reasons.length < MIN_JUDGED) return { level: null, reasons, missing };
  const standout = Array.isArray(tasting.standout) ? tasting.standout.length : 0;
  const level = levelOf(reasons, standout > 0 ? RULES.stands_out : 0);
  if (standout > 0) reasons.push({ of: 'standout', code: 'stands_out', value: standout, pull: RULES.stands_out });
  return { level, reasons, missing };
}

/**
 * Limit the level: the highest needs a long finish with high, harmonious complexity, all three
 * rated; fine needs a finish of some length if it was timed.
 * @param {Reason[]} reasons
 * @param {number} extra
 */
function levelOf(reasons, extra) {
  const total = roundHalfUp(reasons.reduce((sum, each) => sum + each.pull, 0) + extra, 6);
  if (total <= RULES.slight_to) return 'slight';
  const timed = reasons.find((each) => each.of === 'finish')?.value ?? null;
  if (total < RULES.fine_from || (timed !== null && timed < RULES.fine_finish_from_s)) return 'sound';
  const harmony =
    extra === 0 && reasons.length === NAMES.length && reasons.every((each) => each.pull >= RULES.harmony_from);
  return harmony && total >= RULES.rare_from ? 'rare' : 'fine';
}

/**
 * @param {Record<string, unknown>} tasting
 * @returns {Reason | null}
 */
function finish(tasting) {
  const code = classifyFinish(tasting.finish_s);
  if (code === null) return null;
  return { of: 'finish', code, value: inRange(tasting.finish_s, 'finish_s', 0, 3600), pull: RULES.finish[code] };
}

/**
 * Return the rated complexity, or the evidence in the nose if it is not rated.
 * @param {Record<string, unknown>} tasting
 * @returns {Reason | null}
 */
function complexity(tasting) {
  const judged = inRange(tasting.complexity, 'complexity', 0, 10);
  if (judged !== null) {
    const pull = interpolate(RULES.complexity, judged);
    return { of: 'complexity', code: signOf(pull), value: judged, pull };
  }
  const counted = complexityEvidence(tasting);
  if (counted.reading === null) return null;
  return {
    of: 'complexity',
    code: `counted_${counted.reading}`,
    value: counted.families,
    pull: RULES.counted[counted.reading],
  };
}

/**
 * @param {Record<string, unknown>} tasting
 * @returns {Reason | null}
 */
function balance(tasting) {
  const judged = inRange(tasting.balance, 'balance', 0, 10);
  if (judged === null) return null;
  const pull = interpolate(RULES.balance, judged);
  return { of: 'balance', code: signOf(pull), value: judged, pull };
}

/** @param {number} pull */
function signOf(pull) {
  if (pull >= 1) return 'high';
  return pull <= -1 ? 'low' : 'middle';
}
