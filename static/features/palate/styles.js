// Liking by style: mean, interval and number of tastings on one axis.
import { html } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { IntervalRow } from '../../components/chart/interval_row.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { formatScore, isLiked } from '../../domain/palate/text.js';
import { styleName } from '../../domain/style_names.js';

/** @typedef {import('../../domain/palate/document.js').TastedStyle} TastedStyle */

const LIKING = { min: 1, max: 9 };
const NEITHER = 5;
// Half width of an 80 % interval in standard deviations.
export const HALF_INTERVAL_SD = 1.2816;
const AT_FIRST = 5;

/** @param {{ styles: TastedStyle[] }} props */
export function Styles({ styles }) {
  const ordered = [...styles].sort((a, b) => b.mean - a.mean);
  const groups = /** @type {const} */ ([
    ['palate.styles_liked', ordered.filter(({ mean }) => isLiked(mean))],
    ['palate.styles_between', ordered.filter(({ mean }) => !isLiked(mean) && mean >= NEITHER)],
    ['palate.styles_disliked', ordered.filter(({ mean }) => mean < NEITHER).reverse()],
  ]);
  return html`<section class="palate-part" aria-labelledby="palate-styles">
    <h2 id="palate-styles">${t('palate.styles')}</h2>
    <p class="soft small">${t(styles.length ? 'palate.styles_legend' : 'palate.styles_none')}</p>
    ${groups.map(([key, rows]) => rows.length > 0 && html`<${StyleGroup} key=${key} title=${t(key)} rows=${rows} />`)}
  </section>`;
}

/** @param {{ title: string, rows: readonly TastedStyle[] }} props */
function StyleGroup({ title, rows }) {
  return html`<h3>${title}</h3>
    <${ExpandableList} items=${rows} initialCount=${AT_FIRST}
        row=${(/** @type {TastedStyle} */ row) => html`<${StyleRow} key=${row.style} row=${row} />`}
      more=${t('palate.show_all', { count: rows.length })} lessText=${t('palate.show_fewer')} />`;
}

/** @param {{ row: TastedStyle }} props */
function StyleRow({ row: { style, n, mean, sd, tastings } }) {
  const name = styleName(style);
  const [low, high] = likingInterval(mean, sd);
  const count = t('palate.n_tastings', { count: n });
  const sentence = t('palate.style_said', {
    name,
    liking: number(mean),
    low: number(low),
    high: number(high),
    n: count,
  });
  const open = () => openEvidence({ title: name, sentences: [sentence], tastings: tastings.map((id) => ({ id })) });
  return html`<${IntervalRow} name=${name} note=${count} figure=${formatScore(mean)} ...${LIKING} tick=${NEITHER}
      low=${low} high=${high} mark=${mean} filled=${isLiked(mean)} label=${sentence} onOpen=${open} />`;
}

/**
 * @param {number} mean
 * @param {number} sd
 * @returns {[number, number]} 80 % interval, clipped to the scale
 */
export function likingInterval(mean, sd) {
  return [Math.max(LIKING.min, mean - HALF_INTERVAL_SD * sd), Math.min(LIKING.max, mean + HALF_INTERVAL_SD * sd)];
}
