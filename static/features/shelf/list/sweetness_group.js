// Whether a wine is dry or sweet, as the shelf's filter asks: by what is known of the bottle, then by its style.
import { sweetnessTerms } from '../../../rules/label/sweetness.js';
import { styleOf } from '../../../domain/style_names.js';

/** @typedef {'dry' | 'in_between' | 'sweet'} SweetnessGroup */

// Limits on a style's usual sweetness, 0-10.
const DRY_BELOW = 2.5;
const SWEET_FROM = 6;

const IN_BETWEEN = 'in_between';
/** @type {Record<string, SweetnessGroup>} terms of the law and other words on the label */
const GROUPS = {
  brut_nature: 'dry',
  extra_brut: 'dry',
  brut: 'dry',
  extra_dry: 'dry',
  dry: 'dry',
  off_dry: IN_BETWEEN,
  medium_dry: IN_BETWEEN,
  medium: IN_BETWEEN,
  sweet: 'sweet',
};
/**
 * "Extra dry" and "dry" sparkling wine has 12 to 32 g/l of sugar (Reg. (EU) 2019/33, annex III, part A).
 * @type {Record<string, SweetnessGroup>}
 */
const SPARKLING_GROUPS = { ...GROUPS, extra_dry: IN_BETWEEN, dry: IN_BETWEEN };

/**
 * Tell the group from the measured sugar, else from the label's words, the kind, or the style.
 * @param {import('../../../store/record.js').Fields} label
 * @returns {SweetnessGroup | null} null if nothing tells
 */
export function sweetnessGroup({ residual_sugar_gl, total_acidity_gl, label_words, kind, style }) {
  const groups = kind === 'sparkling' ? SPARKLING_GROUPS : GROUPS;
  const words = typeof residual_sugar_gl === 'number' ? wordsFor(kind, residual_sugar_gl, total_acidity_gl) : [];
  const found = [...words, ...(label_words ?? [])].find((word) => word in groups);
  if (found) return groups[found] ?? null;
  return kind === 'sweet' ? 'sweet' : groupOfStyle(style);
}

/**
 * Return what EU law lets the label say, the driest first, because makers print that. A bottle sold elsewhere is
 * measured by the same limits.
 * @param {string | null} kind
 * @param {number} sugar
 * @param {number | null | undefined} acidity
 */
function wordsFor(kind, sugar, acidity) {
  const { terms, possible } = sweetnessTerms(kind === 'sparkling' ? 'eu_sparkling' : 'eu_still', sugar, acidity);
  return [...possible, ...terms];
}

/** @param {string | null | undefined} id @returns {SweetnessGroup | null} */
function groupOfStyle(id) {
  const sweetness = styleOf(id)?.sweetness;
  if (sweetness === undefined) return null;
  if (sweetness < DRY_BELOW) return 'dry';
  return sweetness < SWEET_FROM ? 'in_between' : 'sweet';
}
