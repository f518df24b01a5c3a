// Preferred alcohol: its interval on an axis, with the tastings behind it.
import { html } from '../../lib/ui.js';
import { abv } from '../../lib/format.js';
import { IdealPointChart } from '../../components/chart/ideal_point_chart.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { dotsOf } from '../../domain/palate/chart.js';
import { confidenceText } from '../../domain/palate/text.js';

/** @typedef {import('../../domain/palate/document.js').Alcohol} AlcoholRange */

// Bounds of the learner's axis of label alcohol.
const LINE = { min: 5, max: 20 };
const EDGE = 0.05;
// Most wines are within these; a range that takes in nearly all of them prefers nothing.
const USUAL = { min: 8, max: 16 };
const ANY_WIDTH = 6;

/** @param {{ alcohol: AlcoholRange }} props */
export function AlcoholLine({ alcohol }) {
  const sentence = alcoholSentence(alcohol);
  return html`<li><button type="button" class="target-button short" onClick=${() => openAlcohol(alcohol, sentence)}>
    <span class="target-head"><span class="name">${t('palate.alcohol')}</span></span>
    ${alcohol.known && html`<${IdealPointChart} ...${axisOf(alcohol)} /><${ScaleEnds} />`}
    <span class="target-text voice">${sentence}</span>
  </button></li>`;
}

/** @param {{ alcohol: AlcoholRange }} props */
export function AlcoholChart({ alcohol }) {
  const sentence = alcoholSentence(alcohol);
  return html`<ul class="ruled"><li>
    <button type="button" class="target-button" onClick=${() => openAlcohol(alcohol, sentence)}>
      <span class="target-head"><span class="name">${t('palate.alcohol')}</span></span>
      <${IdealPointChart} ...${axisOf(alcohol)}
        dots=${dotsOf(alcohol.dots)} />
      <${ScaleEnds} />
      <span class="target-text voice">${sentence}</span>
    </button>
  </li></ul>`;
}

function ScaleEnds() {
  return html`<span class="scale-ends figure" aria-hidden="true">
    <span>${abv(LINE.min)}</span><span>${abv(LINE.max)}</span>
  </span>`;
}

/** Return what the axis shows. @param {AlcoholRange} alcohol */
function axisOf({ known, low_abv, high_abv, best_abv }) {
  return { ...LINE, low: known ? low_abv : null, high: known ? high_abv : null, mark: known ? best_abv : null };
}

/** @param {AlcoholRange} alcohol */
function isAny({ low_abv, high_abv }) {
  return Math.min(high_abv, USUAL.max) - Math.max(low_abv, USUAL.min) > ANY_WIDTH;
}

/** @param {AlcoholRange} alcohol */
export function alcoholSentence(alcohol) {
  const { known, low_abv, high_abv, low_between_abv, high_between_abv } = alcohol;
  if (!known) return t('palate.alcohol_unknown');
  if (isAny(alcohol)) return t('palate.alcohol_any');
  const lowWidth = low_between_abv[1] - low_between_abv[0];
  const highWidth = high_between_abv[1] - high_between_abv[0];
  const said = (/** @type {string} */ key, /** @type {number} */ width) =>
    t(key, { low: abv(low_abv), high: abv(high_abv), sure: confidenceText(0, width, LINE.max - LINE.min) });
  if (low_abv <= LINE.min + EDGE) return said('palate.alcohol_up_to', highWidth);
  if (high_abv >= LINE.max - EDGE) return said('palate.alcohol_from', lowWidth);
  return said('palate.alcohol_range', (lowWidth + highWidth) / 2);
}

/** @param {AlcoholRange} alcohol @param {string} sentence */
function openAlcohol(alcohol, sentence) {
  const { best_abv, low_between_abv, high_between_abv, n, dots } = alcohol;
  const ends = [low_between_abv, high_between_abv].map(([from, to]) =>
    t('palate.between', { low: abv(from), high: abv(to) }),
  );
  openEvidence({
    title: t('palate.alcohol'),
    sentences:
      alcohol.known && !isAny(alcohol)
        ? [sentence, t('palate.alcohol_numbers', { best: abv(best_abv), low: String(ends[0]), high: String(ends[1]) })]
        : [sentence],
    column: t('palate.alcohol_column'),
    count: n,
    tastings: dots.map(({ tasting, x }) => ({ id: tasting, figure: abv(x) })),
  });
}
