// Finds the lines of print in a photo and has them recognized. Runs in the worker, and in Node for tests.
import { inkPieces } from './image/components.js';
import { boxOfSlot, composePage } from './image/compose.js';
import { evenLight, lightOf, noiseOf } from './image/even_light.js';
import { blur, boxInPicture, cutOut, halve, toRgba } from './image/gray.js';
import { printLines } from './image/lines.js';
import { rowsOf } from './image/rows.js';
import { lineAngle } from './image/skew.js';

/** @typedef {import('./image/gray.js').Gray} Gray */
/** @typedef {import('./image/compose.js').Source} Source */
/** @typedef {import('./image/lines.js').PrintLine} PrintLine */
/** @typedef {{ x: number, y: number, width: number, height: number }} Box */
/** @typedef {{ text: string, confidence: number, box: Box }} Word */
/**
 * @typedef {Word & { words: Word[], at: number, flat: Box }} ReadLine `at`: its place among the found lines; `flat`:
 *   its box in the straightened picture
 */
/**
 * @typedef {{ loadImage: (picture: any) => void, getTextBoxes: (unit: 'word') => { rect: { left: number, top: number,
 *   right: number, bottom: number }, text: string, confidence: number }[], clearImage: () => void }} Engine
 */
/** @typedef {{ source: Source, lines: PrintLine[] }} Found */

/** The longest edge of the picture in which lines are looked for. */
const SEARCH_EDGE_PX = 1600;
/** In pixels of that picture: the radius over which the light is evened. */
const LIGHT_RADIUS_PX = 30;
/** A photo with more noise than this is blurred, and blurred again with more than the second. */
const NOISY = [5, 10, 10];
/** More lines than these are texture, not print; the longest are kept. */
const MOST_LINES = 120;
/** So many missed lines are read alone. */
const MOST_ALONE = 24;
/** The height of letters that the model reads best. */
const LETTER_PX = 34;

/**
 * @param {Gray} photo
 * @param {{ inColumns?: boolean | undefined }} [how] `inColumns`: keep the short lines of a column, such as a price of
 *   one digit
 * @returns {Found}
 */
export function findLines(photo, { inColumns = false } = {}) {
  const noise = noiseOf(photo);
  const calm = NOISY.reduce((picture, least) => (noise > least ? blur(picture) : picture), photo);
  const angle = angleOf(calm);
  const scale = Math.min(1, SEARCH_EDGE_PX / Math.max(photo.width, photo.height));
  const size = { width: Math.round(photo.width * scale), height: Math.round(photo.height * scale) };
  const cut = { x: photo.width / 2, y: photo.height / 2, ...size, angle, scale };
  const piece = cutOut(calm, cut);
  const light = lightOf(piece, LIGHT_RADIUS_PX);
  const lines = printLines(inkPieces(evenLight(piece, light)), piece.height, inColumns);
  return { source: { photo: calm, cut, piece, light }, lines: longest(lines) };
}

/** @param {Gray} photo */
function angleOf(photo) {
  const half = halve(photo);
  return lineAngle(evenLight(half, lightOf(half, LIGHT_RADIUS_PX)));
}

/** @param {PrintLine[]} lines */
function longest(lines) {
  const letters = (/** @type {PrintLine} */ line) => (line.right - line.left) / line.letter;
  const least = lines.map(letters).sort((a, b) => b - a)[MOST_LINES - 1] ?? 0;
  return lines.filter((line) => letters(line) >= least);
}

/**
 * Recognize lines that were found.
 * @param {Engine} engine
 * @param {Found} found
 * @param {number[]} places of the lines to read
 * @param {{ letterPx?: number | undefined, inRows?: boolean | undefined }} [how] `inRows`: read what stands beside each
 *   other as one line, because the engine passes over short lines, such as prices, and misreads them more often
 * @returns {ReadLine[]} from top to bottom, without those in which nothing was read
 */
export function readLines(engine, found, places, { letterPx = LETTER_PX, inRows = false } = {}) {
  const alone = (/** @type {number[]} */ some) => some.map((place) => [place]);
  const read = readPage(engine, found, inRows ? rowsOf(found.lines, places) : alone(places), letterPx);
  // The engine's own search for text passes over some lines of a page, but not over one that stands alone.
  const missed = places.filter((place) => !read.some(({ at }) => at === place)).slice(0, MOST_ALONE);
  const again = alone(missed).flatMap((row) => readPage(engine, found, [row], letterPx));
  return [...read, ...again].sort((a, b) => places.indexOf(a.at) - places.indexOf(b.at));
}

/**
 * @param {Engine} engine
 * @param {Found} found
 * @param {number[][]} rows places of lines
 * @param {number} letterPx
 * @returns {ReadLine[]}
 */
function readPage(engine, { source, lines }, rows, letterPx) {
  if (!rows.length) return [];
  const chosen = rows.map((row) => row.map((at) => /** @type {PrintLine} */ (lines[at])));
  const { page, slots } = composePage(source, chosen, letterPx);
  engine.loadImage({ data: toRgba(page), width: page.width, height: page.height });
  const items = engine.getTextBoxes('word').filter(({ text }) => text.trim());
  engine.clearImage();
  const places = rows.flat();
  return slots.flatMap((slot, at) => {
    const words = items
      .filter(({ rect }) => isIn(slot, rect))
      .sort((a, b) => a.rect.left - b.rect.left)
      .map(({ rect, text, confidence }) => ({
        text: text.trim(),
        confidence,
        box: boxInPicture(source.cut, boxOfSlot(slot, rect)),
      }));
    return words.length ? [{ ...lineOf(words, Number(places[at])), flat: flatBox(slot.line) }] : [];
  });
}

/**
 * @param {import('./image/compose.js').Slot} slot
 * @param {{ left: number, top: number, right: number, bottom: number }} rect
 */
function isIn({ left, top, right, bottom }, rect) {
  const [x, y] = [(rect.left + rect.right) / 2, (rect.top + rect.bottom) / 2];
  return y >= top - 20 && y < bottom + 20 && x >= left && x < right;
}

/** @param {PrintLine} line @returns {Box} */
function flatBox({ left, right, base, letter }) {
  return { x: left, y: base[0] - letter, width: right - left, height: letter };
}

/** @param {Word[]} words @param {number} at */
function lineOf(words, at) {
  const letters = words.reduce((sum, { text }) => sum + text.length, 0);
  const confidence = words.reduce((sum, word) => sum + word.confidence * word.text.length, 0) / letters;
  const [left, top] = [Math.min(...words.map(({ box }) => box.x)), Math.min(...words.map(({ box }) => box.y))];
  const right = Math.max(...words.map(({ box }) => box.x + box.width));
  const bottom = Math.max(...words.map(({ box }) => box.y + box.height));
  const box = { x: left, y: top, width: right - left, height: bottom - top };
  return { text: words.map(({ text }) => text).join(' '), confidence, box, words, at };
}
