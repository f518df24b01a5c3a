import evidence from '../../spec/evidence.json' with { type: 'json' };
import { aromaFamily, notedAromas } from './nose.js';
import { interpolate, inRange } from '../stats/numbers.js';

const RULES = evidence.oak;
/** @type {Record<string, { oak: number, new: number }>} */
const RATIOS = RULES.families;
/** @type {Record<string, number>} */
const PRIOR_NEW_OF_KIND = RULES.prior_new_of_kind;

/**
 * @typedef {{ aroma_families: string[], oak: number, kind?: string, style_id?: string }} OakStyle
 * @typedef {{ of: 'aroma' | 'scale' | 'nose', value: string | number | null, oak_ratio: number, new_ratio: number,
 *   note: string | null }} OakEvidence
 * @typedef {{ oak: 'none' | 'doubtful' | 'likely' | 'clear' | null, new: 'used' | 'open' | 'new' | null, p_oak: number
 *   | null, p_new: number | null, reasons: OakEvidence[] }} Oak
 */

/**
 * Tell what aroma words and the oak scale say about oak, and how new it was; see tests/reference/rules/oak.py.
 * @param {Record<string, unknown>} tasting
 * @param {OakStyle | null} [style]
 * @returns {Oak}
 */
export function assessOak(tasting, style = null) {
  const found = [...aromaEvidence(tasting, style), ...scaleEvidence(tasting)];
  if (found.length === 0) return { oak: null, new: null, p_oak: null, p_new: null, reasons: [] };
  const prior = priors(style);
  const pOak = share(
    prior.oak,
    found.map((each) => each.oak_ratio),
  );
  const pNew = share(
    prior.new,
    found.map((each) => each.new_ratio),
  );
  const oak =
    pOak >= RULES.clear_from
      ? 'clear'
      : pOak >= RULES.likely_from
        ? 'likely'
        : pOak >= RULES.doubtful_from
          ? 'doubtful'
          : 'none';
  if (oak === 'none' || oak === 'doubtful') return { oak, new: null, p_oak: pOak, p_new: null, reasons: found };
  const age = pNew >= RULES.new_from ? 'new' : pNew >= RULES.open_from ? 'open' : 'used';
  return { oak, new: age, p_oak: pOak, p_new: pNew, reasons: found };
}

/**
 * Return the prior probabilities: those of the style if known.
 * @param {OakStyle | null} style
 */
function priors(style) {
  if (style === null) return { oak: RULES.prior_oak, new: RULES.prior_new };
  const { kind = '' } = style;
  return {
    oak: interpolate(RULES.prior_oak_of_style, style.oak),
    new: (Object.hasOwn(PRIOR_NEW_OF_KIND, kind) ? PRIOR_NEW_OF_KIND[kind] : null) ?? RULES.prior_new,
  };
}

/**
 * Return a cue for each noted aroma family, from its strongest aroma.
 * @param {Record<string, unknown>} tasting
 * @param {OakStyle | null} style
 * @returns {OakEvidence[]}
 */
function aromaEvidence(tasting, style) {
  const aromas = notedAromas(tasting);
  /** @type {Map<string, number>} */
  const strengths = new Map();
  for (const [aroma, strength] of aromas) {
    const family = aromaFamily(aroma);
    if (family === null || !Object.hasOwn(RATIOS, family)) continue;
    strengths.set(family, Math.max(strengths.get(family) ?? 0, strength ?? RULES.usual_strength));
  }
  if (aromas.size > 0 && strengths.size === 0) {
    const expected = style === null || style.aroma_families.some((family) => Object.hasOwn(RATIOS, family));
    return [
      {
        of: 'nose',
        value: null,
        oak_ratio: expected ? RULES.none_noted : 1,
        new_ratio: 1,
        note: expected ? null : 'style_usual',
      },
    ];
  }
  return [...strengths].map(([family, strength]) => evidenceOf(family, strength, style));
}

/**
 * @param {string} family
 * @param {number} strength
 * @param {OakStyle | null} style
 * @returns {OakEvidence}
 */
function evidenceOf(family, strength, style) {
  const elsewhere = style === null ? null : otherOrigin(family, style);
  if (elsewhere !== null) return { of: 'aroma', value: family, oak_ratio: 1, new_ratio: 1, note: elsewhere };
  const usual = style !== null && style.aroma_families.includes(family);
  const power =
    (RULES.by_strength[strength - 1] ?? 1) - (usual ? (RULES.by_strength[RULES.usual_strength - 1] ?? 1) : 0);
  const ratios = RATIOS[family] ?? { oak: 1, new: 1 };
  return {
    of: 'aroma',
    value: family,
    oak_ratio: ratios.oak ** power,
    new_ratio: ratios.new ** power,
    note: usual ? 'style_usual' : null,
  };
}

/**
 * Return the source of the aroma in that style other than wood, if there is one.
 * @param {string} family
 * @param {OakStyle} style
 * @returns {string | null}
 */
function otherOrigin(family, { aroma_families: families, oak, style_id = '' }) {
  const rule = RULES.not_from_wood.find((each) => each.styles.includes(style_id) && each.families.includes(family));
  if (rule) return rule.note;
  return oak < RULES.style_without_oak_below && families.includes(family) ? 'style_without_oak' : null;
}

/**
 * @param {Record<string, unknown>} tasting
 * @returns {OakEvidence[]}
 */
function scaleEvidence(tasting) {
  const judged = inRange(tasting.oak, 'oak', 0, 10);
  if (judged === null) return [];
  return [
    {
      of: 'scale',
      value: judged,
      oak_ratio: interpolate(RULES.scale_oak, judged),
      new_ratio: interpolate(RULES.scale_new, judged),
      note: null,
    },
  ];
}

/**
 * Compute the posterior from prior odds and likelihood ratios, each raised to a power below one
 * because cues are dependent.
 * @param {number} prior
 * @param {number[]} ratios
 */
function share(prior, ratios) {
  const weight = ratios.reduce((sum, ratio) => sum + Math.log(ratio), 0);
  return 1 / (1 + Math.exp(-(Math.log(prior / (1 - prior)) + RULES.temper * weight)));
}
