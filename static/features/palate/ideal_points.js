// Ideal points: an axis for each attribute, the most important first.
import { html } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { IdealPointChart } from '../../components/chart/ideal_point_chart.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { dotsOf } from '../../domain/palate/chart.js';
import { formatScore, importanceText, targetSentence } from '../../domain/palate/text.js';

/** @typedef {import('../../domain/palate/document.js').Target} Target */

const LINE = { min: 0, max: 10 };
const MAX_WEIGHT = 9;

/** Return the ideal points that are known, the most important first. @param {Target[]} targets */
export function knownTargets(targets) {
  return targets.filter(({ shape }) => shape !== 'unknown').sort((a, b) => rank(b) - rank(a));
}

/** Show one ideal point in short. @param {{ target: Target }} props */
export function TargetLine({ target }) {
  return html`<li><button type="button" class="target-button short" onClick=${() => openTarget(target)}>
    <span class="target-head"><span class="name">${t(`scale.${target.attribute}`)}</span>
      <span class="figure">${figureOf(target)}</span></span>
    <${IdealPointChart} ...${axisOf(target)} />
    <${ScaleEnds} attribute=${target.attribute} />
    <span class="target-text voice">${targetSentence(target)}</span>
  </button></li>`;
}

/** Draw every attribute with the tastings behind it. @param {{ targets: Target[] }} props */
export function TargetCharts({ targets }) {
  const ordered = [...targets].sort((a, b) => rank(b) - rank(a));
  return html`<p class="soft small">${t('palate.targets_legend')}</p>
    <ul class="ruled">
      ${ordered.map((target) => html`<${TargetEntry} key=${target.attribute} target=${target} />`)}
    </ul>`;
}

/**
 * Sort attributes without a known ideal point last, however important they are.
 * @param {Target} target
 */
function rank({ shape, weight }) {
  return shape === 'unknown' ? weight - MAX_WEIGHT : weight;
}

/** @param {{ target: Target }} props */
function TargetEntry({ target }) {
  const { attribute, weight, shape } = target;
  return html`<li class="target-entry">
    <button type="button" class="target-button" onClick=${() => openTarget(target)}
        aria-label=${shape === 'unknown' ? targetSentence(target) : undefined}>
      <span class="target-head"><span class="name">${t(`scale.${attribute}`)}</span>
        ${shape !== 'unknown' && html`<span class="soft small">${importanceText(weight)}</span>`}
        <span class="figure">${figureOf(target)}</span>
        </span>
      <${IdealPointChart} ...${axisOf(target)} dots=${dotsOf(target.dots)} />
      <${ScaleEnds} attribute=${attribute} />
      <span class="target-text voice">${targetSentence(target)}</span>
    </button>
  </li>`;
}

/** Show the words and numbers at the ends of an attribute's scale. @param {{ attribute: string }} props */
function ScaleEnds({ attribute }) {
  return html`<span class="scale-ends" aria-hidden="true">
    <span>${number(LINE.min)} ${t(`scale.${attribute}.low`)}</span>
    <span>${t(`scale.${attribute}.high`)} ${number(LINE.max)}</span>
  </span>`;
}

/** @param {Target} target */
function figureOf({ target, shape }) {
  if (shape === 'unknown') return '\u2013';
  return shape === 'peak' ? formatScore(Number(target)) : '';
}

/** Return what the axis shows. @param {Target} target */
function axisOf({ target, low, high, shape }) {
  const known = shape !== 'unknown';
  return {
    ...LINE,
    low: known ? low : null,
    high: known ? high : null,
    mark: shape === 'peak' ? target : null,
    open: /** @type {'low' | 'high' | null} */ (shape === 'more' ? 'high' : shape === 'less' ? 'low' : null),
  };
}

/** Describe the JAR ratings. @param {Target} target */
function marksSentence({ marks }) {
  const { too_little, just_right, too_much } = marks;
  return too_little + just_right + too_much
    ? [t('palate.marks_numbers', { little: too_little, right: just_right, much: too_much })]
    : [];
}

/** @param {Target} target */
function openTarget(target) {
  const { attribute, low, high, weight, shape, n, dots } = target;
  const between = { low: number(low), high: number(high) };
  openEvidence({
    title: t(`scale.${attribute}`),
    sentences: [
      targetSentence(target),
      shape === 'peak'
        ? t('palate.target_numbers', { target: number(Number(target.target)), ...between })
        : t('palate.target_numbers_open', between),
      t('palate.weight_numbers', { name: t(`palate.of.${attribute}`), points: number(weight, 1) }),
      ...marksSentence(target),
    ],
    column: t(`scale.${attribute}`),
    count: n,
    tastings: dots.map(({ tasting, x }) => ({ id: tasting, figure: number(x) })),
  });
}
