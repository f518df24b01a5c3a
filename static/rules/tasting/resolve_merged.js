/**
 * Follow `merged_into` to the bottle that remains. The number of steps is limited, because two phones may have merged
 * in a circle.
 * @template T
 * @param {Map<string, T>} bottles
 * @param {string | null | undefined} id
 * @param {(bottle: T) => string | null | undefined} mergedInto
 * @returns {T | undefined}
 */
export function resolveMerged(bottles, id, mergedInto) {
  let found = bottles.get(id ?? '');
  for (let step = 0; found && step < 8; step += 1) {
    const next = bottles.get(mergedInto(found) ?? '');
    if (!next) break;
    found = next;
  }
  return found;
}
