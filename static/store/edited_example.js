/**
 * @param {{ clocks: Record<string, string> }} record
 * @returns {boolean} whether it was edited after it was loaded as an example
 */
export function isEdited({ clocks }) {
  return Object.values(clocks).some((clock) => clock > (clocks['example'] ?? ''));
}
