/**
 * @param {import('./record.js').BookRecord} record
 * @returns {boolean} whether it was edited after it was loaded as an example
 */
export function isEdited({ clocks }) {
  return Object.values(clocks).some((clock) => clock > (clocks['example'] ?? ''));
}
