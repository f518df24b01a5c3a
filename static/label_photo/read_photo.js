// The readings of one label: all lines once, those with numbers or doubts a second time at another size.
import { deservesAnother, proposalsOf } from '../rules/label_text/propose.js';

/** @typedef {import('./recognize.js').ReadLine} ReadLine */
/** @typedef {(places: number[], letterPx?: number) => ReadLine[] | Promise<ReadLine[]>} Read */

/** See LETTER_PX in static/label_photo/recognize.js; letters of another height are read anew. */
const OTHER_LETTER_PX = 46;

/**
 * @param {Read} read
 * @param {number} count of the lines that were found
 * @param {{ thisYear: number, market: string | null }} context
 * @param {(share: number) => void} [onProgress]
 */
export async function readLabelLines(read, count, context, onProgress) {
  const lines = await read(Array.from({ length: count }, (_, at) => at));
  onProgress?.(0.7);
  const doubtful = lines.filter(deservesAnother).map(({ at }) => at);
  const again = doubtful.length ? await read(doubtful, OTHER_LETTER_PX) : [];
  onProgress?.(1);
  return { lines, proposals: proposalsOf(lines, [again], context) };
}
