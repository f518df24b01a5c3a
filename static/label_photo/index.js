// Reads a wine's label, or a list of wines, from a photo; on the phone and without a network.
import { LabelPhotoError } from './errors.js';
import { modelState } from './model.js';

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
/** @typedef {{ proposals: Proposal[], lines: Line[], barcode: string | null, width: number, height: number }} Label */
/**
 * @typedef {{ name: string, vintage: number | null, price: number | null, glass: number | null, alcohol: number | null,
 *   box: Box }} Row `price` of a bottle, `glass` the price of a glass
 */

/**
 * Read what the label in a photo says.
 * @param {Blob} photo
 * @param {{ signal?: AbortSignal, onProgress?: OnProgress, market?: string | null }} [how] `market`: where the wine is
 *   sold unless the label says it
 * @returns {Promise<Label>}
 * @throws {LabelPhotoError}
 */
export async function readLabel(photo, how = {}) {
  await requireModel();
  throw new LabelPhotoError('failed', [photo, how]);
}

/**
 * Read the wines of a printed list.
 * @param {Blob} photo
 * @param {{ signal?: AbortSignal, onProgress?: OnProgress }} [how]
 * @returns {Promise<{ text: string, rows: Row[], lines: Line[] }>} `text`: the rows with headings, delimited by tabs,
 *   as the import of a list takes them
 * @throws {LabelPhotoError}
 */
export async function readList(photo, how = {}) {
  await requireModel();
  throw new LabelPhotoError('failed', [photo, how]);
}

async function requireModel() {
  if (!(await modelState()).stored) throw new LabelPhotoError('no_model');
}
