// Which glasses a guest may name as the same wine: those already tasted. Pure.

/** With two glasses there is nothing to find. */
const FEWEST_GLASSES = 3;

/**
 * @template {{ id: string }} T
 * @param {T[]} glasses of the table, in the guest's order
 * @param {string} glass that the guest is asked about
 * @param {(glass: string) => Record<string, any>} answersOf what the guest noted of a glass
 * @returns {T[]} other glasses of which the guest has noted anything
 */
export function tastedBefore(glasses, glass, answersOf) {
  if (glasses.length < FEWEST_GLASSES) return [];
  const isTasted = (/** @type {string} */ id) =>
    Object.entries(answersOf(id)).some(([field, value]) => field !== 'guess_same_as' && value != null);
  return glasses.filter(({ id }) => id !== glass && isTasted(id));
}
