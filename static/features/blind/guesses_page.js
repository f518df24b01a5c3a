// Scores of all guesses: error, bias, and whether they are better than always guessing the average.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { abv, date } from '../../lib/format.js';
import { bottlesByIds, liveSignal } from '../../store/queries.js';
import { instantMs } from '../../store/newest_first.js';
import { visitAll } from '../../store/whole_table.js';
import { LollipopChart } from '../../components/chart/lollipop_chart.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { guessSheet } from '../../rules/stats/repeatability.js';
import { Page } from '../shell/page.js';
import { baselineRate, collectGuesses, lackOfGuesses } from './guess_scores.js';
import { HiddenRepeats } from '../../domain/blind/hidden_repeats.js';
import { wineName } from '../../domain/bottle_names.js';
import { Row } from '../../components/layout/row.js';
import { localDateTime } from '../../lib/datetime.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('./guess_scores.js').NumericGuess} NumericGuess */
/** @typedef {import('./guess_scores.js').NamedGuess} NamedGuess */
/** @typedef {import('../../store/record.js').Row} Row */

const INITIAL_COUNT = 4;
/** @type {{ tastings: Row[], bottles: Map<string, Row>, asked: boolean }} */
const INITIAL_VALUE = { tastings: [], bottles: new Map(), asked: false };

async function readHidden() {
  /** @type {Row[]} */
  const tastings = [];
  await visitAll('tasting', (row) => {
    if (!row.gone && row.fields['label_hidden'] === true && row.fields['uncovered_at']) tastings.push(row);
  });
  tastings.sort((a, b) => instantMs(a.fields['tasted_at']) - instantMs(b.fields['tasted_at']));
  return { tastings, bottles: await bottlesByIds(tastings.map((row) => row.fields['bottle'])), asked: true };
}

export function GuessesPage() {
  const { tastings, bottles, asked } = useMemo(() => liveSignal(readHidden, INITIAL_VALUE), []).value;
  if (!asked) return html`<${Page} title=${t('evening.guesses')} back="/pour/evening" trailing="" />`;
  const sheet = collectGuesses(tastings, bottles, wineName);
  const lack = lackOfGuesses(tastings, sheet);
  return html`<${Page} title=${t('evening.guesses')} back="/pour/evening" trailing="">
    ${
      lack &&
      html`<div class="empty">
    <p class="voice">${t(lack)}
    </p>
    <p class="soft">${t('evening.guesses_how')}
    </p>
    </div>`
    }
    ${!lack && html`<p class="voice guide">${t('evening.guesses_guide')}</p>`}
    <${NumericSection} title=${t('evening.guesses_abv')} guesses=${sheet.abv}
        amount=${(/** @type {number} */ points) => t('evening.point_count', { count: points })} show=${abv} />
    <${NumericSection} title=${t('evening.guesses_age')} guesses=${sheet.age} amount=${years} show=${years} />
    <${NamedSection} title=${t('evening.guesses_style')} guesses=${sheet.style} />
    <${NamedSection} title=${t('evening.guesses_grape')} guesses=${sheet.grape} />
    <${HiddenRepeats} tastings=${tastings} bottles=${bottles} />
    <${AtThumb}><a class="button primary" href="#/pour/flight">${t('evening.flight_start')}</a><//>
  <//>`;
}

/** @param {number} count */
const years = (count) => t('pour.year_count', { count });

/**
 * @param {{ title: string, guesses: NumericGuess[], amount: (value: number) => string, show: (value: number) => string
 *   }} props
 */
function NumericSection({ title, guesses, amount, show }) {
  if (!guesses.length) return null;
  const { count, bias, spread, error, average_error, verdict } = guessSheet(guesses);
  const off = Math.abs(bias ?? 0);
  const side = off < 0.05 ? 'even' : Number(bias) > 0 ? 'above' : 'below';
  const format = (/** @type {number | null} */ value) => amount(Number((value ?? 0).toFixed(1)));
  const sentences = [
    t(`evening.bias_${side}`, { off: format(off), count }),
    ...(spread === null ? [] : [t('evening.spread', { spread: format(spread) })]),
    t(`evening.verdict_${verdict}`, { error: format(error), average: format(average_error) }),
  ];
  return html`<section class="blind-part"><h2>${title}</h2><p>${sentences.join(' ')}</p>
    <${LollipopChart} errors=${guesses.map(({ guess, truth }) => guess - truth)} bias=${bias}
        above=${t('evening.too_high')} below=${t('evening.too_low')} label=${sentences.join(' ')} />
    ${guesses.length > 1 && html`<p class="soft small" aria-hidden="true">${t('evening.bias_legend')}</p>`}
    <${Rows} guesses=${guesses}
        format=${(/** @type {NumericGuess} */ each) =>
          t('evening.guessed_was', { guess: show(each.guess), truth: show(each.truth) })} />
    </section>`;
}

/** @param {{ title: string, guesses: NamedGuess[] }} props */
function NamedSection({ title, guesses }) {
  if (!guesses.length) return null;
  const right = guesses.filter((each) => each.right).length;
  const usual = baselineRate(guesses);
  const verdict = guesses.length < 5 ? 'few' : right > usual ? 'beats' : right === usual ? 'even' : 'behind';
  return html`<section class="blind-part">
  <h2>${title}
  </h2>
  <p>${t('evening.right_of', { right, count: guesses.length })} ${t(`evening.usual_${verdict}`, { usual })}
  </p>
    <${Rows} guesses=${guesses}
        format=${(/** @type {NamedGuess} */ each) =>
          t(each.right ? 'evening.guessed_right' : 'evening.guessed_was', { guess: each.guess, truth: each.truth })} />
    </section>`;
}

/**
 * @template {NumericGuess | NamedGuess} T
 * @param {{ guesses: T[], format: (guess: T) => string }} props newest first
 */
function Rows({ guesses, format }) {
  return html`<${ExpandableList} items=${[...guesses].reverse()} initialCount=${INITIAL_COUNT}
      more=${t('evening.show_all', { count: guesses.length })} lessText=${t('evening.show_fewer')}
    row=${(/** @type {T} */ each) => html`<li key=${each.id}>
      <${Row} href=${`#/book/${each.id}`} name=${each.name} line=${format(each)}>
        <span class="soft small">${each.at ? date(localDateTime(each.at)) : ''}</span>
      <//></li>`} />`;
}
