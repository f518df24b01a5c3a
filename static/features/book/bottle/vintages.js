// The same wine over the years: every verdict on a line of time, with the year on its label beside it.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { remPx } from '../../../components/layout/root_font_size.js';
import { localDateTime } from '../../../lib/datetime.js';

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */

// In px where a rem has 16 of them, and larger with it but for the width, which the page has.
const [WIDTH, HEIGHT, EDGE] = [320, 132, 18];
// The figures stand before their lines, where no year can cover them.
const GUTTER = 16;

/**
 * @param {{ entries: Entry[] }} props tastings of one wine, whatever its vintage; the list beside the picture says
 *   the same
 */
export function Vintages({ entries }) {
  const judged = entries.filter((entry) => entry.liking !== null && entry.at);
  if (judged.length < 2) return null;
  const times = judged.map((entry) => Date.parse(localDateTime(entry.at)));
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const grown = remPx() / 16;
  const [height, edge, gutter] = [HEIGHT * grown, EDGE * grown, GUTTER * grown];
  const x = (/** @type {number} */ time) =>
    gutter + edge + (last > first ? (time - first) / (last - first) : 0.5) * (WIDTH - gutter - 2 * edge);
  const y = (/** @type {number} */ liking) => height - edge - ((liking - 1) / 8) * (height - 2 * edge);
  return html`<figure class="wine-years">
    <svg viewBox=${`0 0 ${WIDTH} ${height}`} role="img" aria-label=${t('book.years_said', { count: judged.length })}>
    ${[1, 5, 9].map(
      (liking) => html`<line class="rule" x1=${gutter} x2=${WIDTH} y1=${y(liking)} y2=${y(liking)} />
    <text class="soft" x="0" y=${y(liking) + 5 * grown}>${liking}
    </text>`,
    )}
    ${judged.map(
      (entry, at) => html`<circle cx=${x(Number(times[at]))} cy=${y(Number(entry.liking))} r=${5 * grown} />
    <text x=${x(Number(times[at]))} y=${y(Number(entry.liking)) - 9 * grown} text-anchor="middle">
      ${entry.about.vintage ?? ''}
    </text>`,
    )}
  </svg>
  <figcaption class="soft small">
    ${t('book.years_note', {
      from: new Date(first).getFullYear().toString(),
      to: new Date(last).getFullYear().toString(),
    })}
  </figcaption>
  </figure>`;
}
