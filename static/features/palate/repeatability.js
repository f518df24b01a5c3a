// Repeatability of ratings, and guesses compared with the label.
import { html, useEffect, useState } from '../../lib/ui.js';
import { bottlesByIds } from '../../store/queries.js';
import { number } from '../../lib/format.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { Interval } from '../../components/chart/interval_row.js';
import { RepeatDotPlot } from '../../components/chart/repeat_dot_plot.js';
import { t } from '../../i18n.js';
import { bottleName, resolveBottle } from '../../domain/bottle_names.js';
import { openEvidence } from './evidence.js';
import { HALF_INTERVAL_SD } from '../../domain/palate/chart.js';
import { steadyText } from '../../domain/palate/steady_text.js';
import { formatSigned } from '../../domain/palate/text.js';

/** @typedef {import('../../domain/palate/document.js').Repeatability} Repeatability */
/** @typedef {import('../../domain/palate/document.js').Check} Check */
/** @typedef {import('../../store/record.js').Row} Row */

const LIKING = { min: 1, max: 9 };
const AT_FIRST = 5;
// Half width of each axis of guesses: points of warmth, percent by volume, years.
const AXIS_RANGE = { warmth: 3, guess_abv: 3, guess_age_years: 10 };

/** @param {{ repeatability: Repeatability }} props */
export function RepeatabilityPart({ repeatability }) {
  const { within_sd, ceiling, bottles } = repeatability;
  const said = steadyText(repeatability);
  return said
    ? html`<p>${said}</p>
        ${ceiling !== null && within_sd !== 0 && html`<p>${t('palate.steady_ceiling')}</p>`}
        <${Repeats} bottles=${bottles} />`
    : html`<p class="soft">${t('palate.steady_none')}</p>`;
}

/**
 * @param {{ bottles: Repeatability['bottles'] }} props largest difference first, because another
 *   tasting is most useful there
 */
function Repeats({ bottles }) {
  const [named, setNamed] = useState(/** @type {Map<string, Row>} */ (new Map()));
  useEffect(() => {
    bottlesByIds(bottles.map(({ bottle }) => bottle)).then(setNamed);
  }, [bottles]);
  const ordered = [...bottles].sort((a, b) => spread(b.likings) - spread(a.likings));
  return html`<${ExpandableList} items=${ordered} initialCount=${AT_FIRST}
      more=${t('palate.show_all', { count: ordered.length })} lessText=${t('palate.show_fewer')}
    row=${(/** @type {Repeatability['bottles'][number]} */ repeated) => html`<${Repeat} key=${repeated.bottle}
        repeated=${repeated} name=${bottleName(resolveBottle(named, repeated.bottle))} />`} />`;
}

/** @param {{ repeated: Repeatability['bottles'][number], name: string }} props */
function Repeat({ repeated: { tastings, likings }, name }) {
  const open = () =>
    openEvidence({
      title: name,
      sentences: [t('palate.steady_apart', { points: number(spread(likings)) })],
      tastings: tastings.map((id) => ({ id })),
    });
  return html`<li class="interval-row"><button type="button" onClick=${open}>
    <span class="interval-name"><span class="name">${name}</span></span>
    <span class="figure">${likings.join(' \u00b7 ')}</span><${RepeatDotPlot} ...${LIKING} values=${likings} /></button>
    </li>`;
}

/** @param {number[]} likings */
function spread(likings) {
  return Math.max(...likings) - Math.min(...likings);
}

/** @param {{ calibration: Record<keyof typeof AXIS_RANGE, Check> }} props */
export function Calibration({ calibration }) {
  const checked = /** @type {(keyof typeof AXIS_RANGE)[]} */ (Object.keys(AXIS_RANGE)).filter(
    (name) => calibration[name].mean !== null,
  );
  return html`<p class="soft small">${t(checked.length ? 'palate.calibration_legend' : 'palate.calibration_none')}</p>
    ${
      checked.length > 0 &&
      html`<ul class="ruled">${checked.map(
        (name) => html`<${CheckRow} key=${name} name=${name} check=${calibration[name]} />`,
      )}</ul>`
    }
    <a class="button plain" href="#/pour/guesses">${t('palate.all_guesses')}</a>`;
}

/** @param {{ name: keyof typeof AXIS_RANGE, check: Check }} props */
function CheckRow({ name, check }) {
  const mean = Number(check.mean);
  const half = HALF_INTERVAL_SD * (check.sd_of_mean ?? AXIS_RANGE[name]);
  const sentence = checkSentence(name, check);
  const range = Math.max(AXIS_RANGE[name], Math.ceil(Math.abs(mean) + half));
  const open = () =>
    openEvidence({
      title: t(`palate.check_${name}`),
      sentences: [sentence, ...(check.sd === null ? [] : [t('palate.check_spread', { sd: number(check.sd) })])],
      count: check.n,
      tastings: check.tastings.map((id) => ({ id })),
    });
  return html`<li class="next-entry"><button type="button" onClick=${open}>
    <span class="next-head">
    <span class="name">${t(`palate.check_${name}`)}
    </span>
    <span class="figure">${formatSigned(mean)}
    </span>
    </span>
    <${Interval} min=${-range} max=${range} tick=${0} low=${mean - half} high=${mean + half} mark=${mean}
        filled=${true} />
    <span class="voice">${sentence}</span></button></li>`;
}

/** @param {keyof typeof AXIS_RANGE} name @param {Check} check */
function checkSentence(name, { mean, sd_of_mean, level, mean_abv }) {
  const distance = Math.abs(Number(mean));
  if (level !== 'known') return t(`palate.check_${name}_few`, { points: number(distance) });
  if (distance <= HALF_INTERVAL_SD * Number(sd_of_mean)) return t(`palate.check_${name}_fits`);
  return t(`palate.check_${name}_${Number(mean) > 0 ? 'above' : 'below'}`, {
    points: number(distance),
    abv: number(Math.abs(mean_abv ?? 0)),
  });
}
