// Drawing on the canvas of a shared picture: wrapped text, rules and scales.

export const WIDTH = 1080;
const EDGE = 80;
export const INNER = WIDTH - 2 * EDGE;
const SCALE_MAX = 10;
const BEAD = 14;

/** @typedef {{ face: '--serif' | '--sans', px: number, line: number, ink?: string, slant?: 'italic' }} Font */

/** @satisfies {Record<string, Font>} */
export const FONTS = {
  title: { face: '--serif', px: 64, line: 76 },
  name: { face: '--serif', px: 48, line: 60 },
  heading: { face: '--serif', px: 42, line: 56 },
  words: { face: '--serif', px: 38, line: 52 },
  voice: { face: '--serif', px: 44, line: 60, slant: 'italic' },
  plain: { face: '--sans', px: 32, line: 46 },
  soft: { face: '--sans', px: 30, line: 44, ink: '--ink-soft' },
};

/** @param {number} height @returns {{ canvas: HTMLCanvasElement, canvas2d: CanvasRenderingContext2D }} blank paper */
export function newPage(height) {
  colours.clear();
  const canvas = document.createElement('canvas');
  canvas.width = WIDTH;
  canvas.height = height;
  const canvas2d = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  canvas2d.fillStyle = colour('--paper');
  canvas2d.fillRect(0, 0, WIDTH, height);
  return { canvas, canvas2d };
}

/** The colours of the page that is being drawn. @type {Map<string, string>} */
const colours = new Map();

/** Return a colour of tokens.css, in its light form whatever the phone shows. @param {string} token */
function colour(token) {
  const known = colours.get(token);
  if (known) return known;
  const probe = document.createElement('span');
  probe.className = 'share-colours';
  probe.style.color = `var(${token})`;
  document.body.append(probe);
  const { color } = getComputedStyle(probe);
  probe.remove();
  colours.set(token, color);
  return color;
}

/** @param {CanvasRenderingContext2D} canvas2d @param {Font} font */
function use(canvas2d, { face, px, ink = '--ink', slant }) {
  const family = getComputedStyle(document.documentElement).getPropertyValue(face);
  canvas2d.font = `${slant ?? ''} ${px}px ${family}`;
  canvas2d.fillStyle = colour(ink);
  canvas2d.textBaseline = 'top';
  canvas2d.textAlign = 'left';
}

/**
 * Write text in lines of the page's width.
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {string} words
 * @param {number} y
 * @param {Font} font
 * @returns {number} the bottom
 */
export function text(canvas2d, words, y, font) {
  use(canvas2d, font);
  let below = y;
  for (const paragraph of words.split('\n')) {
    let row = '';
    for (const word of paragraph.split(' ')) {
      const longer = row ? `${row} ${word}` : word;
      if (row && canvas2d.measureText(longer).width > INNER) {
        canvas2d.fillText(row, EDGE, below);
        below += font.line;
        row = word;
      } else row = longer;
    }
    canvas2d.fillText(row, EDGE, below, INNER);
    below += font.line;
  }
  return below;
}

/** @param {CanvasRenderingContext2D} canvas2d @param {number} y @returns {number} the bottom */
export function doubleRule(canvas2d, y) {
  canvas2d.fillStyle = colour('--rule-strong');
  canvas2d.fillRect(EDGE, y, INNER, 3);
  canvas2d.fillRect(EDGE, y + 8, INNER, 3);
  return y + 36;
}

/**
 * Draw a scale as on the screen: name, mark and number above its line, end words below.
 * @param {CanvasRenderingContext2D} canvas2d
 * @param {number} y
 * @param {{ name: string, low: string, high: string, value: number | null, figure: string, mark: string, isRight:
 *   boolean }} scale
 * @returns {number} the bottom
 */
export function ruledScale(canvas2d, y, { name, low, high, value, figure, mark, isRight }) {
  use(canvas2d, FONTS.words);
  canvas2d.fillText(name, EDGE, y);
  const after = EDGE + canvas2d.measureText(`${name}  `).width;
  // The serif's figure 1 looks like a capital I when it stands alone.
  use(canvas2d, { ...FONTS.words, face: '--sans' });
  canvas2d.textAlign = 'right';
  canvas2d.fillText(figure, EDGE + INNER, y);
  use(canvas2d, { ...FONTS.words, slant: 'italic', ink: isRight ? '--verjus' : '--warm' });
  canvas2d.fillText(mark, after, y);
  if (value === null) return y + FONTS.words.line;
  const rule = y + FONTS.words.line + BEAD;
  canvas2d.fillStyle = colour('--rule-strong');
  canvas2d.fillRect(EDGE, rule, INNER, 3);
  canvas2d.fillStyle = colour('--verjus');
  canvas2d.beginPath();
  canvas2d.arc(EDGE + BEAD + ((INNER - 2 * BEAD) * value) / SCALE_MAX, rule + 1.5, BEAD, 0, 2 * Math.PI);
  canvas2d.fill();
  use(canvas2d, { ...FONTS.soft, px: 26 });
  canvas2d.fillText(low, EDGE, rule + 20);
  canvas2d.textAlign = 'right';
  canvas2d.fillText(high, EDGE + INNER, rule + 20);
  return rule + 78;
}
