// Whether a wine was spat or swallowed, and how much. An amount says more than "spat" or "swallowed".

/** @typedef {'spat' | 'half' | 'all'} Swallowed */
/** @typedef {{ pour_ml?: number | null, swallowed_ml?: number | null, spat?: boolean | null }} Amounts */

/** @param {Amounts} fields @returns {Swallowed | null} null if it is not said, or another part */
export function swallowedChoice({ pour_ml, swallowed_ml, spat }) {
  if (typeof swallowed_ml !== 'number') return typeof spat === 'boolean' ? (spat ? 'spat' : 'all') : null;
  if (swallowed_ml === 0) return 'spat';
  if (swallowed_ml === pour_ml) return 'all';
  return typeof pour_ml === 'number' && swallowed_ml === pour_ml / 2 ? 'half' : null;
}

/** @param {string | null} choice @param {number | null | undefined} pour_ml @returns {Amounts} */
export function fieldsOfChoice(choice, pour_ml) {
  const poured = pour_ml ?? null;
  if (choice === 'spat') return { spat: true, swallowed_ml: 0 };
  if (choice === 'all') return { spat: false, swallowed_ml: poured };
  return { spat: null, swallowed_ml: choice === 'half' && poured ? poured / 2 : null };
}

/** @param {number | null} swallowed_ml @param {number | null | undefined} pour_ml @returns {Amounts} */
export function fieldsOfAmount(swallowed_ml, pour_ml) {
  const isAll = typeof pour_ml === 'number' && swallowed_ml !== null && swallowed_ml >= pour_ml;
  return { swallowed_ml, spat: swallowed_ml === 0 ? true : isAll ? false : null };
}
