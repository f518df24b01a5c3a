/** Two phones may have merged in a circle. */
const MOST_MERGES = 8;

/**
 * Follow `merged_into` to the bottle that remains.
 * @template T
 * @param {Map<string, T>} bottles
 * @param {string | null | undefined} id
 * @param {(bottle: T) => string | null | undefined} mergedInto
 * @returns {T | undefined}
 */
export function resolveMerged(bottles, id, mergedInto) {
  let found = bottles.get(id ?? '');
  for (let step = 0; found && step < MOST_MERGES; step += 1) {
    const next = bottles.get(mergedInto(found) ?? '');
    if (!next) break;
    found = next;
  }
  return found;
}
