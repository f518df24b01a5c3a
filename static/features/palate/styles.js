// Liking by style: mean, interval and number of tastings on one axis.
import { html } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { Fold } from '../../components/layout/fold.js';
import { IntervalRow } from '../../components/chart/interval_row.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { HALF_INTERVAL_SD } from '../../domain/palate/chart.js';
import { formatScore, isLiked } from '../../domain/palate/text.js';
import { styleName } from '../../domain/style_names.js';

/** @typedef {import('../../domain/palate/document.js').TastedStyle} TastedStyle */

const LIKING = { min: 1, max: 9 };
const NEITHER = 5;
const AT_FIRST = 3;

/** @param {{ styles: TastedStyle[] }} props */
export function Styles({ styles }) {
  const ordered = [...styles].sort((a, b) => b.mean - a.mean);
  const liked = ordered.filter(({ mean }) => isLiked(mean));
  const folded = /** @type {const} */ ([
    ['palate.styles_between', ordered.filter(({ mean }) => !isLiked(mean) && mean >= NEITHER)],
    ['palate.styles_disliked', ordered.filter(({ mean }) => mean < NEITHER).reverse()],
  ]);
  return html`<section class="palate-part" aria-labelledby="palate-styles">
    <h2 id="palate-styles">${t('palate.styles')}</h2>
    ${!styles.length && html`<p class="soft small">${t('palate.styles_none')}</p>`}
    ${
      liked.length > 0 &&
      html`<h3>${t('palate.styles_liked')}</h3>
      <${ExpandableList} items=${liked} initialCount=${AT_FIRST} row=${StyleItem}
        more=${t('palate.show_all', { count: liked.length })} lessText=${t('palate.show_fewer')} />`
    }
    ${folded.map(
      ([key, rows]) =>
        rows.length > 0 &&
        html`<${Fold} level="h3" key=${key} title=${t(key)} line=${t('palate.n_styles', { count: rows.length })}>
        <ul class="ruled">${rows.map(StyleItem)}</ul>
        <p class="soft small after-list">${t('palate.styles_legend')}</p>
      <//>`,
    )}
  </section>`;
}

/** @param {TastedStyle} row */
function StyleItem(row) {
  return html`<${StyleRow} key=${row.style} row=${row} />`;
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
  const open = () =>
    openEvidence({ title: name, sentences: [sentence], count: n, tastings: tastings.map((id) => ({ id })) });
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
