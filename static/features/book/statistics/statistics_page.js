// Statistics page: when, where and what was tasted, and its alcohol.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { navigate } from '../../../router.js';
import { abv, date, number } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { RangeBar } from '../../../components/chart/range_bar.js';
import { ValueWithBar } from '../../../components/chart/value_with_bar.js';
import { searchIndex, watchSearchIndex } from '../../../domain/search_index.js';
import { countryName } from '../../../domain/country_names.js';
import { NO_FILTERS } from '../list/search.js';
import { localDateTime } from '../../../lib/datetime.js';
import { filters, query } from '../list/search_state.js';
import { styleName } from '../../../domain/style_names.js';
import { abvByYear, countBottles, monthsOf, countBy, yearsOf } from './statistics.js';
import { Row } from '../../../components/layout/row.js';

/** @typedef {import('../../../domain/search_index.js').Entry} Entry */
/** @typedef {import('./statistics.js').Count} Count */

const FIRST = 8;
const DAYS = 31;

export function StatisticsPage() {
  useEffect(watchSearchIndex, []);
  const entries = searchIndex.value;
  return html`<${Page} title=${t('book.back_title')} back="/book">
    ${
      entries &&
      (entries.length
        ? html`<${Sums} entries=${entries} />`
        : html`<div class="empty">
    <p class="voice">${t('book.back_empty')}
    </p>
    <a class="button primary" href="#/pour">${t('book.first_pour')}
    </a>
    </div>`)
    }
  <//>`;
}

/** @param {{ entries: Entry[] }} props */
function Sums({ entries }) {
  const sums = useMemo(
    () => ({
      styles: countBy(entries, ({ about }) => [about.style]),
      grapes: countBy(entries, ({ about }) => about.grapes),
      countries: countBy(entries, ({ about }) => [about.country]),
      places: countBy(entries, ({ place }) => [place]),
      bottles: countBottles(entries),
    }),
    [entries],
  );
  return html`<p class="back-lead voice">
    ${t('book.back_lead', { tastings: entries.length, bottles: sums.bottles, styles: sums.styles.length })}
  </p>
    <div class="columns"><${Calendar} entries=${entries} />
    <${CountList} title=${t('field.place')} counts=${sums.places} name=${(/** @type {string} */ id) => id}
      filter="place"
        dated />
    <${CountList} title=${t('field.style')} counts=${sums.styles} name=${styleName} filter="style" />
    <${CountList} title=${t('field.grapes')} counts=${sums.grapes} name=${(/** @type {string} */ id) => id}
      filter="grape" />
    <${CountList} title=${t('field.country')} counts=${sums.countries} name=${countryName} filter="country" />
    <${AbvYears} entries=${entries} />
    <section class="tasting-step"><a class="button" href="#/book/twins">${t('book.twins_open')}</a></section></div>`;
}

/**
 * Show the tastings behind a number in the list.
 * @param {Partial<import('../list/search.js').Filters>} by
 */
function show(by) {
  filters.value = { ...NO_FILTERS, ...by };
  query.value = '';
  navigate('/book');
}

/** @param {{ entries: Entry[] }} props calendar of one year, with a mark on each day of tasting */
function Calendar({ entries }) {
  const years = useMemo(() => yearsOf(entries), [entries]);
  const [year, setYear] = useState(years[0] ?? '');
  return html`<section class="tasting-step"><h2>${t('book.calendar')}</h2>
    ${
      years.length > 1 &&
      html`<div class="chips" role="group" aria-label=${t('book.year')}>
      ${years.map(
        (each) => html`<button type="button" class="choice" key=${each} aria-pressed=${each === year}
          onClick=${() => setYear(each)}>
      ${each}
    </button>`,
      )}
    </div>`
    }
    <ul class="ruled">${monthsOf(entries, year).map(
      ({ month, days, count }) => html`<li key=${month}>
        <button type="button" class="row month-row" disabled=${count === 0} onClick=${() => show({ year: month })}>
      <span class="month-name">${date(`${month}-01T12:00:00`, { month: 'short' })}</span>
      <span class="month-line" aria-hidden="true">${[...days].map(
        ([day, times]) => html`<span class="stroke"
          style=${{ left: `${((day - 0.5) / DAYS) * 100}%`, height: `${Math.min(4, times) * 25}%` }}>
      </span>`,
      )}</span>
      <span class="figure" aria-hidden="true">${count || ''}</span>
      <span class="unseen">${t('book.tasted_times', { count })}</span>
      </button>
      </li>`,
    )}</ul>
  </section>`;
}

/**
 * @param {{ title: string, counts: Count[], name: (id: string) => string, dated?: boolean,
 *   filter: 'place' | 'style' | 'country' | 'grape' }} props
 */
function CountList({ title, counts, name, filter, dated }) {
  const [all, setAll] = useState(false);
  if (!counts.length) return null;
  return html`<section class="tasting-step"><h2>${title}</h2>
    <ul class="ruled">${counts.slice(0, all ? undefined : FIRST).map(
      ({
        id,
        count,
        liking,
        last,
      }) => html`<li key=${id}><${Row} onClick=${() => show({ [filter]: id })} name=${name(id)}
      line=${[t('book.tasted_times', { count }), dated && last && t('book.last', { day: date(localDateTime(last)) })]
        .filter(Boolean)
        .join(' \u00b7 ')}>
      ${
        liking !== null &&
        html`<${ValueWithBar} figure=${number(liking)}
          text=${t('book.mean_liking', { figure: number(liking) })} min=${1} max=${9} at=${liking} />`
      }
      <//>
      </li>`,
    )}</ul>
    ${
      counts.length > FIRST &&
      !all &&
      html`<button type="button" class="button plain" onClick=${() => setAll(true)}>
      ${t('book.all_of', { count: counts.length })}
    </button>`
    }
  </section>`;
}

/** @param {{ entries: Entry[] }} props interquartile range and median of the label alcohol by year */
function AbvYears({ entries }) {
  const years = useMemo(() => abvByYear(entries), [entries]);
  if (!years.length) return null;
  const min = Math.floor(Math.min(11, ...years.map((each) => each.low)));
  const max = Math.ceil(Math.max(15, ...years.map((each) => each.high)));
  return html`<section class="tasting-step"><h2>${t('book.abv_years')}</h2>
    <ul class="ruled">${years.map(
      ({ year, low, middle, high }) => html`<li key=${year} class="abv-year"><span>${year}</span>
      <${RangeBar} min=${min} max=${max} low=${low} high=${high} stated=${middle} preferredLow=${null}
        preferredHigh=${null}
          label=${t('book.abv_year_said', {
            low: abv(Math.round(low * 10) / 10),
            high: abv(Math.round(high * 10) / 10),
          })} />
      <span class="figure">${abv(Math.round(middle * 10) / 10)}</span></li>`,
    )}</ul>
    <p class="soft small">${t('book.abv_years_note')}</p></section>`;
}
