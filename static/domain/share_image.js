// Draws what is shared, such as a tasting, as an image of fixed width.

/**
 * @typedef {{ title: string, lines: string[], scales: { name: string, low: string, high: string, value: number }[],
 *   aromas: { name: string, words: string }[], liking: string, words: string }} ShareData values of scales: 0 to 10
 */

const WIDTH = 1080;
const EDGE = 90;
const INNER = WIDTH - 2 * EDGE;
const MAX_HEIGHT = 6000;

/** @param {ShareData} data @returns {Promise<File>} PNG */
export async function renderShareImage(data) {
  await document.fonts.ready;
  const sheet = document.createElement('canvas');
  sheet.width = WIDTH;
  sheet.height = 10;
  // Drawn twice: the first time to measure the height, because resizing clears the canvas.
  sheet.height = Math.min(MAX_HEIGHT, Math.ceil(page(context(sheet), data)));
  const canvas2d = context(sheet);
  canvas2d.fillStyle = colour('--paper');
  canvas2d.fillRect(0, 0, sheet.width, sheet.height);
  page(canvas2d, data);
  const blob = await new Promise((/** @type {(blob: Blob | null) => void} */ done) => {
    sheet.toBlob(done, 'image/png');
  });
  if (!blob) throw new Error('this browser draws no pictures');
  return new File([blob], `${data.title.replace(/[^\p{L}\p{N}]+/gu, '-').slice(0, 60) || 'tasting'}.png`, {
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
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {ShareData} data
 * @returns {number} bottom of the content in px
 */
function page(canvas2d, data) {
  let y = EDGE;
  y = text(canvas2d, data.title, y, { font: font('--serif', 64), line: 76 });
  y = doubleRule(canvas2d, y + 10);
  for (const line of data.lines) y = text(canvas2d, line, y, { font: font('--sans', 34), line: 48, ink: '--ink-soft' });
  if (data.words) y = text(canvas2d, data.words, y + 24, { font: font('--serif', 44, 'italic'), line: 62 });
  for (const { name, words } of data.aromas) {
    y = text(canvas2d, name, y + 30, { font: font('--sans', 30), line: 40, ink: '--ink-soft' });
    y = text(canvas2d, words, y, { font: font('--serif', 40), line: 54 });
  }
  y += 20;
  for (const scale of data.scales) y = ruledScale(canvas2d, scale, y);
  if (data.liking) y = text(canvas2d, data.liking, y + 30, { font: font('--serif', 48), line: 60 });
  return y + EDGE / 2;
}

/**
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {string} words
 * @param {number} y
 * @param {{ font: string, line: number, ink?: string }} how
 * @returns {number}
 */
function text(canvas2d, words, y, { font: face, line, ink = '--ink' }) {
  canvas2d.font = face;
  canvas2d.fillStyle = colour(ink);
  canvas2d.textBaseline = 'top';
  canvas2d.textAlign = 'left';
  let below = y;
  for (const paragraph of words.split('\n')) {
    let row = '';
    for (const word of paragraph.split(' ')) {
      const longer = row ? `${row} ${word}` : word;
      if (row && canvas2d.measureText(longer).width > INNER) {
        canvas2d.fillText(row, EDGE, below);
        below += line;
        row = word;
      } else row = longer;
    }
    canvas2d.fillText(row, EDGE, below, INNER);
    below += line;
  }
  return below;
}

/** @param {CanvasRenderingContext2D} canvas2d @param {number} y */
function doubleRule(canvas2d, y) {
  canvas2d.fillStyle = colour('--rule-strong');
  canvas2d.fillRect(EDGE, y, INNER, 3);
  canvas2d.fillRect(EDGE, y + 8, INNER, 3);
  return y + 40;
}

/** @param {CanvasRenderingContext2D} canvas2d @param {ShareData['scales'][number]} scale @param {number} y */
function ruledScale(canvas2d, { name, low, high, value }, y) {
  const below = text(canvas2d, name, y, { font: font('--serif', 36), line: 62 });
  const rule = below - 4;
  canvas2d.fillStyle = colour('--rule-strong');
  canvas2d.fillRect(EDGE, rule, INNER, 3);
  canvas2d.fillStyle = colour('--verjus');
  canvas2d.beginPath();
  canvas2d.arc(EDGE + (INNER * value) / 10, rule + 1.5, 15, 0, 2 * Math.PI);
  canvas2d.fill();
  const end = text(canvas2d, low, rule + 18, { font: font('--sans', 26), line: 44, ink: '--ink-soft' });
  canvas2d.textAlign = 'right';
  canvas2d.fillText(high, EDGE + INNER, rule + 18);
  return end + 14;
}
