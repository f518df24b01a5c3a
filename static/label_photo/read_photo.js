// The readings of one photo: all lines once, those with numbers or doubts a second time.
import { isPrice, withBetterPrices } from '../rules/label_text/prices.js';
import { deservesAnother, proposalsOf } from '../rules/label_text/propose.js';

/** @typedef {import('./recognize.js').ReadLine} ReadLine */
/** @typedef {{ letterPx?: number, inRows?: boolean }} How see readLines() in static/label_photo/recognize.js */
/** @typedef {(places: number[], how?: How) => ReadLine[] | Promise<ReadLine[]>} Read */

/** See LETTER_PX in static/label_photo/recognize.js; letters of another height are read anew. */
const OTHER_LETTER_PX = 46;

/**
 * @param {Read} read
 * @param {number} count of the lines that were found
 * @param {(share: number) => void} [onProgress]
 * @returns {Promise<ReadLine[]>}
 */
export async function readListLines(read, count, onProgress) {
  const lines = await read(everyLine(count), { inRows: true });
  onProgress?.(0.8);
  const prices = lines.filter(isPrice).map(({ at }) => at);
  const again = prices.length ? await read(prices) : [];
  onProgress?.(1);
  return withBetterPrices(lines, again);
}

/** @param {number} count */
const everyLine = (count) => Array.from({ length: count }, (_, at) => at);

/**
 * @param {Read} read
 * @param {number} count of the lines that were found
 * @param {{ thisYear: number, market: string | null }} context
 * @param {(share: number) => void} [onProgress]
 */
export async function readLabelLines(read, count, context, onProgress) {
  const lines = await read(everyLine(count));
  onProgress?.(0.7);
  const doubtful = lines.filter(deservesAnother).map(({ at }) => at);
  const again = doubtful.length ? await read(doubtful, { letterPx: OTHER_LETTER_PX }) : [];
  onProgress?.(1);
  return { lines, proposals: proposalsOf(lines, [again], context) };
}
