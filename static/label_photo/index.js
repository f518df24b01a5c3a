// Reads a wine's label, or a list of wines, from a photo; on the phone and without a network.
import { codeReader } from '../lib/code_reader.js';
import { listRows, listText } from '../rules/label_text/list.js';
import { LabelPhotoError, throwIfStopped } from './errors.js';
import { modelState } from './model.js';
import { readLabelLines, readListLines } from './read_photo.js';
import { Reader } from './reader.js';

export { LabelPhotoError } from './errors.js';
export { modelState, removeModel, storeModel } from './model.js';

/** @typedef {import('./model.js').OnProgress} OnProgress called with 0 to 1 */
/** @typedef {{ x: number, y: number, width: number, height: number }} Box in pixels of the photo as it is shown */
/** @typedef {{ text: string, confidence: number, box: Box }} Line confidence from 0 to 1 */
/**
 * @typedef {Object} Proposal
 * @property {'label_abv' | 'label_abv_low' | 'label_abv_high' | 'vintage' | 'non_vintage' | 'volume_ml' | 'label_words'
 *   | 'quality' | 'country' | 'label_market' | 'style' | 'kind' | 'colour' | 'protected_origin'} field the field of a
 *   bottle in static/spec/record.json; only `quality` (a word such as Riserva) is none
 * @property {unknown} value as the field has it; one word of `label_words`
 * @property {string} text as it was read
 * @property {boolean} sure
 * @property {number} confidence from 0 to 1
 * @property {Box} box
 */
/**
 * @typedef {{ proposals: Proposal[], lines: Line[], barcode: string | null, barcodeBox: Box | null, width: number,
 *   height: number, angle: number }} Label `angle`: of the lines of print, clockwise, in radians
 */
/**
 * @typedef {{ name: string, vintage: number | null, price: number | null, glass: number | null,
 *   currency: string | null, alcohol: number | null, box: Box }} Row `price` of a bottle, `glass` the price of a glass;
 *   `currency` as printed
 */

/** Shares of the work, for the progress: the photo is open, the lines are read, the barcode is read. */
const OPENED = 0.3;
const READ = 0.95;

/**
 * Read what the label in a photo says.
 * @param {Blob} photo
 * @param {{ signal?: AbortSignal, onProgress?: OnProgress, market?: string | null }} [how] `market`: where the wine is
 *   sold, if that is known
 * @returns {Promise<Label>} without proposals if the picture has no print that could be read
 * @throws {LabelPhotoError}
 */
export async function readLabel(photo, { signal, onProgress, market = null } = {}) {
  return withReader(signal, async (reader) => {
    const { width, height, barcodes, angle, lines: count } = await reader.open(photo);
    onProgress?.(OPENED);
    const barcode = await readBarcode(barcodes, width);
    const context = { thisYear: new Date().getFullYear(), market };
    const read = await readLabelLines(reader.read.bind(reader), count, context, (share) =>
      onProgress?.(OPENED + share * (READ - OPENED)),
    );
    if (!read.lines.length && !barcode) throw new LabelPhotoError('unreadable');
    onProgress?.(1);
    const lines = read.lines.map(({ text, confidence, box }) => ({ text, confidence, box }));
    return {
      proposals: /** @type {Proposal[]} */ (read.proposals),
      lines,
      barcode: barcode?.text ?? null,
      barcodeBox: barcode?.box ?? null,
      ...{ width, height, angle },
    };
  });
}

/**
 * Read the wines of a printed list.
 * @param {Blob} photo
 * @param {{ signal?: AbortSignal, onProgress?: OnProgress }} [how]
 * @returns {Promise<{ text: string, rows: Row[], lines: Line[], angle: number }>} `text`: the rows with headings,
 *   delimited by tabs, as the import of a list takes them
 * @throws {LabelPhotoError}
 */
export async function readList(photo, { signal, onProgress } = {}) {
  return withReader(signal, async (reader) => {
    const { angle, lines: count } = await reader.open(photo, { inColumns: true });
    onProgress?.(OPENED);
    const read = await readListLines(reader.read.bind(reader), count, (share) =>
      onProgress?.(OPENED + share * (READ - OPENED)),
    );
    const rows = listRows(read, new Date().getFullYear());
    if (!read.length) throw new LabelPhotoError('unreadable');
    onProgress?.(1);
    const lines = read.map(({ text, confidence, box }) => ({ text, confidence, box }));
    return { text: listText(rows), rows, lines, angle };
  });
}

/**
 * @template T
 * @param {AbortSignal | undefined} signal
 * @param {(reader: Reader) => Promise<T>} work
 * @returns {Promise<T>}
 */
async function withReader(signal, work) {
  throwIfStopped(signal);
  if (!(await modelState()).stored) throw new LabelPhotoError('no_model');
  const reader = new Reader(signal);
  try {
    return await work(reader);
  } finally {
    reader.close();
  }
}

/** Bars are at least this high for their width; a detector may tell a single line through them. */
const LEAST_BAR_HEIGHT = 0.3;

/**
 * @param {ImageData} picture
 * @param {number} width of the photo
 * @returns {Promise<import('../lib/code_reader.js').FoundCode | null>} null also if the reader cannot be loaded
 */
async function readBarcode(picture, width) {
  try {
    const [code = null] = await (await codeReader('barcode'))(picture);
    return code && { text: code.text, box: code.box && barsIn(code.box, width / picture.width) };
  } catch {
    return null;
  }
}

/** @param {Box} box @param {number} scale of the photo to the picture of the box @returns {Box} in the photo */
function barsIn({ x, y, width, height }, scale) {
  const most = Math.max(height, width * LEAST_BAR_HEIGHT);
  return { x: x * scale, y: (y - (most - height) / 2) * scale, width: width * scale, height: most * scale };
}
