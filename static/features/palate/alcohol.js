// Preferred alcohol: its interval on an axis, with the tastings behind it.
import { html } from '../../lib/ui.js';
import { abv } from '../../lib/format.js';
import { IdealPointChart } from '../../components/chart/ideal_point_chart.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { ABV_LINE, alcoholReading } from '../../domain/palate/alcohol_reading.js';
import { dotsOf } from '../../domain/palate/chart.js';

/** @typedef {import('../../domain/palate/document.js').Alcohol} AlcoholRange */

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
    <span>${abv(ABV_LINE.min)}</span><span>${abv(ABV_LINE.max)}</span>
  </span>`;
}

/** Return what the axis shows. @param {AlcoholRange} alcohol */
function axisOf({ known, low_abv, high_abv, best_abv }) {
  return { ...ABV_LINE, low: known ? low_abv : null, high: known ? high_abv : null, mark: known ? best_abv : null };
}

/** @param {AlcoholRange} alcohol */
export function alcoholSentence(alcohol) {
  const { kind, sure } = alcoholReading(alcohol);
  return t(`palate.alcohol_${kind}`, { low: abv(alcohol.low_abv), high: abv(alcohol.high_abv), sure });
}

/** @param {AlcoholRange} alcohol @param {string} sentence */
function openAlcohol(alcohol, sentence) {
  const { best_abv, low_between_abv, high_between_abv, n, dots } = alcohol;
  const { kind } = alcoholReading(alcohol);
  const ends = [low_between_abv, high_between_abv].map(([from, to]) =>
    t('palate.between', { low: abv(from), high: abv(to) }),
  );
  openEvidence({
    title: t('palate.alcohol'),
    sentences:
      kind !== 'unknown' && kind !== 'any'
        ? [sentence, t('palate.alcohol_numbers', { best: abv(best_abv), low: String(ends[0]), high: String(ends[1]) })]
        : [sentence],
    column: t('palate.alcohol_column'),
    count: n,
    tastings: dots.map(({ tasting, x }) => ({ id: tasting, figure: abv(x) })),
  });
}
