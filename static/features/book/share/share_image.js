// Draws a tasting as an image of fixed width.

/** @typedef {import('./share.js').Told} Told */

const WIDTH = 1080;
const EDGE = 90;
const INNER = WIDTH - 2 * EDGE;
const TALLEST = 6000;

/** @param {Told} told @returns {Promise<File>} PNG */
export async function renderShareImage(told) {
  await document.fonts.ready;
  const sheet = document.createElement('canvas');
  sheet.width = WIDTH;
  sheet.height = 10;
  // Drawn twice: the first time to measure the height, because resizing clears the canvas.
  sheet.height = Math.min(TALLEST, Math.ceil(page(context(sheet), told)));
  const pen = context(sheet);
  pen.fillStyle = colour('--paper');
  pen.fillRect(0, 0, sheet.width, sheet.height);
  page(pen, told);
  const blob = await new Promise((/** @type {(blob: Blob | null) => void} */ done) => {
    sheet.toBlob(done, 'image/png');
  });
  if (!blob) throw new Error('this browser draws no pictures');
  return new File([blob], `${told.title.replace(/[^\p{L}\p{N}]+/gu, '-').slice(0, 60) || 'tasting'}.png`, {
    type: 'image/png',
  });
}

/** @param {HTMLCanvasElement} sheet */
function context(sheet) {
  return /** @type {CanvasRenderingContext2D} */ (sheet.getContext('2d'));
}

/** @param {string} token of tokens.css @returns {string} by the light of now, which a token alone does not say */
function colour(token) {
  const probe = document.createElement('span');
  probe.style.color = `var(${token})`;
  document.body.append(probe);
  const { color } = getComputedStyle(probe);
  probe.remove();
  return color;
}

/** @param {string} token @param {number} px @param {'' | 'italic'} [style] */
function font(token, px, style = '') {
  return `${style} ${px}px ${getComputedStyle(document.documentElement).getPropertyValue(token)}`;
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {Told} told
 * @returns {number} bottom of the content in px
 */
function page(pen, told) {
  let y = EDGE;
  y = text(pen, told.title, y, { font: font('--serif', 64), line: 76 });
  y = doubleRule(pen, y + 10);
  for (const line of told.lines) y = text(pen, line, y, { font: font('--sans', 34), line: 48, ink: '--ink-soft' });
  if (told.words) y = text(pen, told.words, y + 24, { font: font('--serif', 44, 'italic'), line: 62 });
  for (const { name, words } of told.aromas) {
    y = text(pen, name, y + 30, { font: font('--sans', 30), line: 40, ink: '--ink-soft' });
    y = text(pen, words, y, { font: font('--serif', 40), line: 54 });
  }
  y += 20;
  for (const scale of told.scales) y = ruledScale(pen, scale, y);
  if (told.liking) y = text(pen, told.liking, y + 30, { font: font('--serif', 48), line: 60 });
  return y + EDGE / 2;
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {string} words
 * @param {number} y
 * @param {{ font: string, line: number, ink?: string }} how
 * @returns {number}
 */
function text(pen, words, y, { font: face, line, ink = '--ink' }) {
  pen.font = face;
  pen.fillStyle = colour(ink);
  pen.textBaseline = 'top';
  pen.textAlign = 'left';
  let below = y;
  for (const paragraph of words.split('\n')) {
    let row = '';
    for (const word of paragraph.split(' ')) {
      const longer = row ? `${row} ${word}` : word;
      if (row && pen.measureText(longer).width > INNER) {
        pen.fillText(row, EDGE, below);
        below += line;
        row = word;
      } else row = longer;
    }
    pen.fillText(row, EDGE, below, INNER);
    below += line;
  }
  return below;
}

/** @param {CanvasRenderingContext2D} pen @param {number} y */
function doubleRule(pen, y) {
  pen.fillStyle = colour('--rule-strong');
  pen.fillRect(EDGE, y, INNER, 3);
  pen.fillRect(EDGE, y + 8, INNER, 3);
  return y + 40;
}

/** @param {CanvasRenderingContext2D} pen @param {Told['scales'][number]} scale @param {number} y */
function ruledScale(pen, { name, low, high, value }, y) {
  const below = text(pen, name, y, { font: font('--serif', 36), line: 62 });
  const rule = below - 4;
  pen.fillStyle = colour('--rule-strong');
  pen.fillRect(EDGE, rule, INNER, 3);
  pen.fillStyle = colour('--verjus');
  pen.beginPath();
  pen.arc(EDGE + (INNER * value) / 10, rule + 1.5, 15, 0, 2 * Math.PI);
  pen.fill();
  const end = text(pen, low, rule + 18, { font: font('--sans', 26), line: 44, ink: '--ink-soft' });
  pen.textAlign = 'right';
  pen.fillText(high, EDGE + INNER, rule + 18);
  return end + 14;
}
