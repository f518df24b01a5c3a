// A guest's steadiness on the hidden duplicate; port of tests/reference/rules/steadiness.py.

/**
 * @typedef {'steady' | 'between' | 'unsteady' | 'no_spread' | 'too_few'} SteadinessReading
 * @typedef {{ reading: SteadinessReading, share: number | null,
 *   fields: Record<string, { difference: number, typical: number | null }> }} Steadiness
 */

const STEADY = 0.5;
const UNSTEADY = 1;
/** As many as one field has with two other glasses; with one other glass it takes three fields. */
const MIN_COMPARED = 5;

/**
 * Compare a guest's answers for two glasses of the same wine with how much the answers for different wines differ.
 * @param {Record<string, readonly (number | null)[]>} answers by field: a value for each glass
 * @param {readonly [number, number]} pair columns of the two glasses
 * @returns {Steadiness} `typical` is the mean difference of two glasses of different wines; `share` is the sum of the
 *   differences over the sum of the typical ones, 1 for answers by chance
 */
export function steadiness(answers, pair) {
  /** @type {Steadiness['fields']} */
  const fields = {};
  const compared = [];
  let count = 0;
  for (const [field, values] of Object.entries(answers)) {
    const [one, other] = pair.map((glass) => values[glass] ?? null);
    if (one == null || other == null) continue;
    const difference = Math.abs(one - other);
    const others = differencesToOthers(values, pair);
    const typical = others.length ? others.reduce((sum, value) => sum + value, 0) / others.length : null;
    fields[field] = { difference, typical };
    if (typical !== null) compared.push({ difference, typical });
    count += others.length;
  }
  if (count < MIN_COMPARED) return { reading: 'too_few', share: null, fields };
  const typical = compared.reduce((sum, each) => sum + each.typical, 0);
  if (typical === 0) return { reading: 'no_spread', share: null, fields };
  const share = compared.reduce((sum, each) => sum + each.difference, 0) / typical;
  return { reading: share <= STEADY ? 'steady' : share < UNSTEADY ? 'between' : 'unsteady', share, fields };
}

/**
 * @param {readonly (number | null)[]} values
 * @param {readonly [number, number]} pair
 * @returns {number[]} of each two glasses of different wines
 */
function differencesToOthers(values, pair) {
  const rated = values.flatMap((value, glass) => (value === null ? [] : [{ value, isPair: pair.includes(glass) }]));
  return rated.flatMap((one, at) =>
    rated.slice(at + 1).flatMap((other) => (one.isPair && other.isPair ? [] : [Math.abs(one.value - other.value)])),
  );
}
