// The palate that was learned of a person, drawn as the Palate screen draws the owner's.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { abv, list, number } from '../../../lib/format.js';
import { IdealPointChart } from '../../../components/chart/ideal_point_chart.js';
import { Interval } from '../../../components/chart/interval_row.js';
import { ABV_LINE, alcoholReading } from '../../../domain/palate/alcohol_reading.js';
import { dotsOf, HALF_INTERVAL_SD } from '../../../domain/palate/chart.js';
import { formatScore, isLiked, levelText, sureText } from '../../../domain/palate/text.js';
import { ratedWines } from '../../../domain/palate/rated_wines.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../domain/palate/document.js').PalateDocument} PalateDocument */
/** @typedef {import('../../../domain/palate/document.js').Target} Target */
/** @typedef {import('../../../domain/palate/document.js').Alcohol} Alcohol */
/** @typedef {import('../../../domain/palate/document.js').TastedStyle} TastedStyle */

const SCALE = { min: 0, max: 10 };
const LIKING = { min: 1, max: 9 };
const NEITHER = 5;
/** Wines after which the palate is no longer called rough. */
const ENOUGH = 10;

/** @param {{ who: string, learned: PalateDocument | null }} props */
export function PersonPalate({ who, learned }) {
  if (!learned || !learned.n_rated)
    return html`<p class="voice guide">${t(learned ? 'table.person_unrated' : 'table.person_not_yet', { who })}</p>`;
  const { n_rated: count, targets, alcohol, styles } = learned;
  const known = targets.filter(({ shape }) => shape !== 'unknown').sort((one, other) => other.weight - one.weight);
  const unknown = targets.filter(({ shape }) => shape === 'unknown').map(({ attribute }) => t(`scale.${attribute}`));
  return html`<p class="voice guide">${t('table.person_lead', { who, count })}
      ${ratedWines(learned) < ENOUGH ? ` ${t('table.person_rough')}` : ''}</p>
    <section class="palate-part"><h2>${t('table.person_likes', { who })}</h2>
      <p class="soft small">${t('table.person_legend', { who })}</p>
      <ul class="ruled">${known.map((target) => html`<${TargetItem} key=${target.attribute} target=${target} />`)}
        ${alcohol?.known && html`<${AlcoholItem} alcohol=${alcohol} />`}</ul>
      ${unknown.length > 0 && html`<p class="soft small">${t('table.person_unknown', { names: list(unknown) })}</p>`}
    </section>
    ${styles.length > 0 && html`<${Styles} who=${who} styles=${styles} />`}`;
}

/** @param {{ target: Target }} props */
function TargetItem({ target: { attribute, target, low, high, shape, dots } }) {
  const values = {
    level: shape === 'peak' ? levelText(Number(target)) : '',
    low: number(low),
    high: number(high),
    sure: sureText({ low, high, shape }),
  };
  const open = shape === 'more' ? 'high' : shape === 'less' ? 'low' : null;
  return html`<li class="person-target">
    <span class="target-head"><span class="name">${t(`scale.${attribute}`)}</span>
      <span class="figure">${shape === 'peak' ? formatScore(Number(target)) : ''}</span></span>
    <${IdealPointChart} ...${SCALE} low=${low} high=${high} mark=${shape === 'peak' ? target : null} open=${open}
      dots=${dotsOf(dots)} />
    <span class="target-text voice">${t(`table.person_${shape}`, values)}</span></li>`;
}

/** @param {{ alcohol: Alcohol }} props */
function AlcoholItem({ alcohol }) {
  const { low_abv, high_abv, best_abv, dots } = alcohol;
  const { kind, sure } = alcoholReading(alcohol);
  const said = t(`table.person_alcohol_${kind}`, { low: abv(low_abv), high: abv(high_abv), sure });
  return html`<li class="person-target">
    <span class="target-head"><span class="name">${t('palate.alcohol')}</span></span>
    <${IdealPointChart} ...${ABV_LINE} low=${low_abv} high=${high_abv} mark=${best_abv} dots=${dotsOf(dots)} />
    <span class="target-text voice">${said}</span></li>`;
}

/** @param {{ who: string, styles: TastedStyle[] }} props */
function Styles({ who, styles }) {
  const ordered = [...styles].sort((one, other) => other.mean - one.mean);
  return html`<section class="palate-part"><h2>${t('palate.styles')}</h2>
    <p class="soft small">${t('table.person_styles_legend', { who })}</p>
    <ul class="ruled">${ordered.map(({ style, mean, sd, n }) => {
      const [low, high] = [mean - HALF_INTERVAL_SD * sd, mean + HALF_INTERVAL_SD * sd];
      return html`<li key=${style} class="interval-row person-style">
        <span class="interval-name"><span class="name">${styleName(style)}</span>
          <span class="soft small">${t('palate.n_tastings', { count: n })}</span></span>
        <span class="figure">${formatScore(mean)}</span>
        <${Interval} ...${LIKING} tick=${NEITHER} low=${low} high=${high} mark=${mean} filled=${isLiked(mean)} /></li>`;
    })}</ul></section>`;
}
