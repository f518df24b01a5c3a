// Draws a shared tasting or visit as pictures of fixed width.
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { fieldName, fieldText, markText } from '../tasting/field_text.js';
import { factLines, stepSummary } from '../tasting/step_parts.js';
import { doubleRule, FONTS, INNER, newPage, ruledScale, text, WIDTH } from './share_canvas.js';

/** @typedef {import('./share_data.js').SharedTasting} SharedTasting */
/** @typedef {import('./share_data.js').SharedVisit} SharedVisit */
/** @typedef {import('../tasting/step_parts.js').StepParts} StepParts */
/** @typedef {(canvas2d: CanvasRenderingContext2D, y: number) => number} Block draws itself and returns its bottom */

const EDGE_BELOW = 70;
const STEP_GAP = 34;
// A higher page is divided; a single block is drawn whole up to what every browser can draw.
const PAGE_HEIGHT = 6000;
const MAX_HEIGHT = 15_000;

/**
 * @param {SharedTasting | SharedVisit} shared
 * @returns {Promise<File[]>} PNG, several if one would be too high
 */
export function renderShareImages(shared) {
  return renderBlocks(shared.title, 'tastings' in shared ? visitBlocks(shared) : tastingBlocks(shared));
}

/**
 * @param {string} title
 * @param {Block[]} blocks
 * @returns {Promise<File[]>} PNG, several if one would be too high
 */
export async function renderBlocks(title, blocks) {
  await document.fonts.ready;
  const pages = paged(blocks);
  const name = title.replace(/[^\p{L}\p{N}]+/gu, '-').slice(0, 60) || 'tasting';
  return Promise.all(
    pages.map((page, index) => picture(page, pages.length > 1 ? `${name}-${index + 1}.png` : `${name}.png`)),
  );
}

/** Divide the blocks into pages. @param {Block[]} blocks @returns {Block[][]} */
function paged(blocks) {
  const scratch = newPage(10).canvas2d;
  /** @type {Block[][]} */
  const pages = [[]];
  let height = 0;
  for (const block of blocks) {
    const added = block(scratch, 0);
    if (height && height + added > PAGE_HEIGHT) {
      pages.push([]);
      height = 0;
    }
    pages.at(-1)?.push(block);
    height += added;
  }
  return pages;
}

/** @param {Block[]} blocks @param {string} name */
async function picture(blocks, name) {
  const draw = (/** @type {CanvasRenderingContext2D} */ canvas2d) =>
    blocks.reduce((y, block) => block(canvas2d, y), EDGE_BELOW);
  // Drawn twice: the first time to measure the height, because resizing clears the canvas.
  const height = Math.min(MAX_HEIGHT, Math.ceil(draw(newPage(10).canvas2d)) + EDGE_BELOW);
  const { canvas, canvas2d } = newPage(height);
  draw(canvas2d);
  const blob = await new Promise((/** @type {(blob: Blob | null) => void} */ done) => {
    canvas.toBlob(done, 'image/png');
  });
  if (!blob) throw new Error('this browser draws no pictures');
  return new File([blob], name, { type: 'image/png' });
}

/** @param {SharedTasting} shared @returns {Block[]} */
function tastingBlocks({ title, lines, liking, words, steps }) {
  return [
    (canvas2d, y) => verdictBlock(canvas2d, head(canvas2d, title, lines, y), liking, words),
    ...steps.map((step) => /** @type {Block} */ ((canvas2d, y) => stepBlock(canvas2d, step, y))),
  ];
}

/** @param {SharedVisit} shared @returns {Block[]} a block for each wine */
function visitBlocks({ title, lines, words, tastings, triangle }) {
  return [
    (canvas2d, y) => verdictBlock(canvas2d, head(canvas2d, title, lines, y), '', words),
    ...tastings.map(
      (tasting, index) => /** @type {Block} */ ((canvas2d, y) => wineBlock(canvas2d, tasting, index + 1, y)),
    ),
    (canvas2d, y) => triangle.reduce((below, line) => text(canvas2d, line, below, FONTS.plain), y + STEP_GAP),
  ];
}

/** @param {CanvasRenderingContext2D} canvas2d @param {string} title @param {string[]} lines @param {number} y */
export function head(canvas2d, title, lines, y) {
  let below = doubleRule(canvas2d, text(canvas2d, title, y, FONTS.title) + 10);
  for (const line of lines) below = text(canvas2d, line, below, FONTS.soft);
  return below;
}

/** @param {CanvasRenderingContext2D} canvas2d @param {number} y @param {string} liking @param {string} words */
function verdictBlock(canvas2d, y, liking, words) {
  let below = y;
  if (liking) below = text(canvas2d, liking, below + 24, FONTS.name);
  if (words) below = text(canvas2d, words, below + 24, FONTS.voice);
  return below;
}

/**
 * Make the block of one step with all its parts, scales drawn.
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {StepParts} step
 * @param {number} y
 */
function stepBlock(canvas2d, { id, title, aromas, scales, facts }, y) {
  let below = y + STEP_GAP;
  if (id !== 'verdict') below = text(canvas2d, title, below, FONTS.heading) + 6;
  for (const { field, entries } of aromas) {
    if (aromas.length > 1) below = text(canvas2d, fieldName(field), below + 6, FONTS.soft);
    below = text(canvas2d, fieldText(field, entries), below, FONTS.words);
  }
  if (scales.length) below += 12;
  for (const { field, value, mark } of scales)
    below = ruledScale(canvas2d, below, {
      name: fieldName(field),
      low: t(`scale.${field}.low`),
      high: t(`scale.${field}.high`),
      value,
      figure: value === null ? '' : number(value),
      mark: markText(mark),
      isRight: mark === 0,
    });
  for (const line of factLines({ facts })) below = text(canvas2d, line, below, FONTS.plain);
  return below;
}

/**
 * Make the block of a wine of a visit with all that was noted, in lines of text.
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {SharedTasting} tasting
 * @param {number} place
 * @param {number} y
 */
function wineBlock(canvas2d, { title, lines, liking, words, steps }, place, y) {
  let below = text(canvas2d, `${place}. ${title}`, y + 60, FONTS.name);
  for (const line of lines) below = text(canvas2d, line, below, FONTS.soft);
  below = verdictBlock(canvas2d, below - 12, liking, words);
  for (const step of steps) {
    if (step.id !== 'verdict') below = text(canvas2d, step.title, below + 16, FONTS.soft);
    for (const line of stepSummary(step)) below = text(canvas2d, line, below, FONTS.plain);
  }
  canvas2d.fillRect((WIDTH - INNER) / 2, below + 30, INNER, 1);
  return below + 30;
}
