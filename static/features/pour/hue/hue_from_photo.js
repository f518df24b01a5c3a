// Suggests a hue from a photo of the tilted glass over white: tap the white, then the wine. The
// user confirms it.
import { swatches } from '../../../rules/tasting/swatches.js';
import { html, useId, useLayoutEffect, useRef, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { number } from '../../../lib/format.js';
import { hueProposals, labOnWhite } from '../../../rules/tasting/colour.js';
import { RuleError } from '../../../rules/errors.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';
import { ImageMarker, MARKS } from './image_marker.js';
import { medianColour } from './median_colour.js';

const MAX_WIDTH_PX = 720;
const PROPOSAL_COUNT = 3;

/** @typedef {[number, number, number]} Rgb */
/** @typedef {import('./image_marker.js').Point} Point */
/** @typedef {{ point: Point, rgb: Rgb }} Mark */

/** @param {{ colour: string | null }} props colour of the wine */
export function HueFromPhoto({ colour }) {
  const id = useId();
  const [picture, setPicture] = useState(/** @type {ImageBitmap | null} */ (null));
  const [unreadable, setUnreadable] = useState(false);
  if (!colour) return html`<p class="field-note">${t('pour.photo_first')}</p>`;
  const openPhoto = async (/** @type {Event} */ event) => {
    const file = /** @type {HTMLInputElement} */ (event.target).files?.[0];
    const read = file ? await createImageBitmap(file).catch(() => null) : null;
    setUnreadable(Boolean(file) && !read);
    if (read) setPicture(read);
  };
  return html`<div class="hue-photo"><p class="field-note">${t('pour.photo_note')}</p>
    <input type="file" accept="image/*" capture="environment" id=${id} onChange=${openPhoto} />
    <label class="button" for=${id}>${t('pour.photo_take')}
    </label>
    ${unreadable && html`<p class="field-error">${t('pour.photo_unreadable')}</p>`}
    ${picture && html`<${Tapped} picture=${picture} colour=${colour} />`}
    <p class="field-note">${t('pour.photo_caveat')}</p></div>`;
}

/** @param {{ picture: ImageBitmap, colour: string }} props */
function Tapped({ picture, colour }) {
  const canvas = useRef(/** @type {HTMLCanvasElement | null} */ (null));
  const [marks, setMarks] = useState(/** @type {Mark[]} */ ([]));
  const scale = Math.min(1, MAX_WIDTH_PX / picture.width);
  // In a layout effect, because an effect after the paint would clear marks that were set
  // meanwhile.
  useLayoutEffect(() => {
    canvas.current
      ?.getContext('2d', { willReadFrequently: true })
      ?.drawImage(picture, 0, 0, canvas.current.width, canvas.current.height);
    setMarks([]);
  }, [picture]);
  const set = (/** @type {Point} */ point) => {
    const rgb = canvas.current && colourAt(canvas.current, point);
    if (rgb) setMarks([...(marks.length === MARKS.length ? [] : marks), { point, rgb }]);
  };
  const [white, wine] = marks.map((mark) => mark.rgb);
  return html`<p class="label" role="status">
    ${t(!white ? 'pour.photo_tap_white' : wine ? 'pour.photo_taken' : 'pour.photo_tap_wine')}
  </p>
    <${ImageMarker} canvas=${canvas} width=${Math.round(picture.width * scale)}
        height=${Math.round(picture.height * scale)} points=${marks.map((mark) => mark.point)} onSet=${set} />
    <p class="field-note for-keys">${t('pour.photo_keys')}</p>
    ${white && wine && html`<${Proposals} white=${white} wine=${wine} colour=${colour} />`}`;
}

/** @param {HTMLCanvasElement} canvas @param {Point} spot @returns {Rgb | null} */
function colourAt(canvas, { across, down }) {
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) return null;
  const [x, y] = [Math.round(across * (canvas.width - 1)), Math.round(down * (canvas.height - 1))];
  return medianColour(context.getImageData(0, 0, canvas.width, canvas.height), x, y);
}

/** @param {{ white: Rgb, wine: Rgb, colour: string }} props */
function Proposals({ white, wine, colour }) {
  const found = proposals(white, wine, colour);
  if (!found) return html`<p class="field-error">${t('pour.photo_white_too_dark')}</p>`;
  const swatch = (/** @type {string} */ id) => ({ background: swatches[id]?.srgb ?? 'none' });
  return html`<p class="label">${t('pour.photo_nearest')}</p><div class="choices">${found.slice(0, PROPOSAL_COUNT).map(
    ({ id, difference }) => html`<button type="button" class="choice" key=${id}
    aria-pressed=${values.tasting.value['look_hue'] === id} onClick=${() => setFields('tasting', { look_hue: id })}>
    <span class="swatch" style=${swatch(id)}>
    </span>
    <span>${t('pour.photo_difference', { hue: t(`hue.${id}`), difference: number(difference, 0) })}</span></button>`,
  )}</div>`;
}

/**
 * @param {Rgb} white
 * @param {Rgb} wine
 * @param {string} colour
 * @returns {{ id: string, difference: number }[] | null} null if the white is too dark
 */
function proposals(white, wine, colour) {
  try {
    return hueProposals(labOnWhite(wine, white), colour);
  } catch (error) {
    if (error instanceof RuleError && error.code === 'white_too_dark') return null;
    throw error;
  }
}
