// Chart of the ratings of one wine over time, labelled with the vintages.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { remPx } from '../../../components/layout/root_font_size.js';
import { localDateTime } from '../../../lib/datetime.js';

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */

// In px at 16 px per rem; all scale with the text size except the width, which is the page's.
const [WIDTH, HEIGHT, EDGE] = [320, 132, 18];
// Space for the scale's numbers left of the plot, so that no vintage covers them.
const GUTTER = 16;

/**
 * @param {{ entries: Entry[] }} props tastings of one wine of any vintage; a list next to the chart
 *   has the same data
 */
export function Vintages({ entries }) {
  const judged = entries.filter((entry) => entry.liking !== null && entry.at);
  if (judged.length < 2) return null;
  const times = judged.map((entry) => Date.parse(localDateTime(entry.at)));
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const zoom = remPx() / 16;
  const [height, edge, gutter] = [HEIGHT * zoom, EDGE * zoom, GUTTER * zoom];
  const x = (/** @type {number} */ time) =>
    gutter + edge + (last > first ? (time - first) / (last - first) : 0.5) * (WIDTH - gutter - 2 * edge);
  const y = (/** @type {number} */ liking) => height - edge - ((liking - 1) / 8) * (height - 2 * edge);
  return html`<figure class="wine-years">
    <svg viewBox=${`0 0 ${WIDTH} ${height}`} role="img" aria-label=${t('book.years_said', { count: judged.length })}>
    ${[1, 5, 9].map(
      (liking) => html`<line class="rule" x1=${gutter} x2=${WIDTH} y1=${y(liking)} y2=${y(liking)} />
    <text class="soft" x="0" y=${y(liking) + 5 * zoom}>${liking}
    </text>`,
    )}
    ${judged.map(
      (entry, at) => html`<circle cx=${x(Number(times[at]))} cy=${y(Number(entry.liking))} r=${5 * zoom} />
    <text x=${x(Number(times[at]))} y=${y(Number(entry.liking)) - 9 * zoom} text-anchor="middle">
      ${entry.about.vintage ?? ''}
    </text>`,
    )}
  </svg>
  <figcaption class="soft small">
    ${yearsNote(first, last)}
  </figcaption>
  </figure>`;
}

/** @param {number} first ms @param {number} last ms @returns {string} */
export function yearsNote(first, last) {
  const [from = '', to = ''] = [first, last].map((ms) => String(new Date(ms).getFullYear()));
  return from === to ? t('book.years_note_same', { year: from }) : t('book.years_note', { from, to });
}
