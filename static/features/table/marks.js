// Names glasses by their letters.
import { list } from '../../lib/format.js';

/** @param {import('../../store/record.js').Row[]} glasses @returns {{ count: number, marks: string }} for a message */
export function marksOf(glasses) {
  return { count: glasses.length, marks: list(glasses.map(({ fields }) => fields['mark'] ?? '')) };
}
