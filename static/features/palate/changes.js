// Changes of this year against earlier ones: two separately fitted palates on one axis.
import { html } from '../../lib/ui.js';
import { date, list, number } from '../../lib/format.js';
import { DumbbellChart } from '../../components/chart/dumbbell_chart.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { HALF_INTERVAL_SD } from '../../domain/palate/chart.js';
import { formatSigned } from '../../domain/palate/text.js';

/** @typedef {import('../../domain/palate/document.js').Changes} ChangesOfYear */
/** @typedef {import('../../domain/palate/document.js').ChangedAttribute} ChangedAttribute */

const LINE = { min: 0, max: 10 };
const LIKING = { min: 1, max: 9 };

/** @param {{ changes: ChangesOfYear }} props */
export function Changes({ changes }) {
  const compared = changes.level === 'compared' && changes.liking !== null;
  return compared
    ? html`<${Compared} changes=${changes} />`
    : html`<p class="soft">${t('palate.changes_none', { before: changes.n_before, now: changes.n_now })}</p>`;
}

/** @param {{ changes: ChangesOfYear }} props */
function Compared({ changes }) {
  const known = changes.attributes.filter(isKnown);
  const moved = known.filter(({ level }) => level === 'clear');
  const still = known.filter(({ level }) => level !== 'clear').map(({ attribute }) => t(`palate.of.${attribute}`));
  return html`<p class="soft small">
    ${t('palate.changes_legend', { since: date(changes.since), before: changes.n_before, now: changes.n_now })}
  </p>
    <ul class="ruled">
      <${LikingShift} changes=${changes} />
      ${moved.map((entry) => html`<${AttributeShift} key=${entry.attribute} entry=${entry} changes=${changes} />`)}
    </ul>
    ${still.length > 0 && html`<p class="after-list">${t('palate.changes_still', { names: list(still) })}</p>`}`;
}

/** @param {ChangedAttribute} entry */
function isKnown({ before, now }) {
  return before.target !== null && now.target !== null;
}

/** @param {{ changes: ChangesOfYear }} props */
function LikingShift({ changes }) {
  const { before, now, sd, before_sd, now_sd, level } = /** @type {NonNullable<ChangesOfYear['liking']>} */ (
    changes.liking
  );
  const shift = shownShift(before, now);
  // A document of an older server has the standard error of the difference only.
  const estimate = (/** @type {number} */ mean, sdOfMean = sd / Math.SQRT2) => ({
    mark: mean,
    low: mean - HALF_INTERVAL_SD * sdOfMean,
    high: mean + HALF_INTERVAL_SD * sdOfMean,
  });
  const sentence = t(`palate.changes_liking_${level}`, {
    before: number(before),
    now: number(now),
    shift: number(Math.abs(shift)),
  });
  return html`<${Shift} name=${t('palate.changes_liking')} figure=${formatSigned(shift)} label=${sentence}
  line=${LIKING}
      before=${estimate(before, before_sd)} now=${estimate(now, now_sd)} changes=${changes} />`;
}

/** Return the difference of the two figures as they are shown. @param {number} before @param {number} now */
function shownShift(before, now) {
  return (Math.round(now * 10) - Math.round(before * 10)) / 10;
}

/** @param {{ entry: ChangedAttribute, changes: ChangesOfYear }} props */
function AttributeShift({ entry: { attribute, before, now }, changes }) {
  const [was, is] = [Number(before.target), Number(now.target)];
  const sentence = t(is > was ? 'palate.changes_more' : 'palate.changes_less', {
    name: t(`palate.of.${attribute}`),
    before: number(was),
    now: number(is),
  });
  const figure = formatSigned(shownShift(was, is));
  return html`<${Shift} name=${t(`scale.${attribute}`)} figure=${figure} label=${sentence} line=${LINE}
    before=${{ ...before, mark: was }} now=${{ ...now, mark: is }} changes=${changes} />`;
}

/**
 * @param {{ name: string, figure: string, label: string, line: { min: number, max: number }, changes: ChangesOfYear,
 *   before: import('../../components/chart/dumbbell_chart.js').Estimate, now:
 * import('../../components/chart/dumbbell_chart.js').Estimate }} props
 */
function Shift({ name, figure, label, line, before, now, changes }) {
  const open = () =>
    openEvidence({
      title: name,
      sentences: [label, t('palate.changes_tastings', { since: date(changes.since) })],
      tastings: changes.tastings.map((id) => ({ id })),
    });
  return html`<li><button type="button" class="target-button" onClick=${open}>
    <span class="target-head"><span class="name">${name}</span><span class="figure">${figure}</span></span>
    <${DumbbellChart} ...${line} before=${before} now=${now} />
    <span class="target-text voice">${label}</span>
  </button></li>`;
}
