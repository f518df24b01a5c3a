// Triangle test (ISO 4120): can two wines be told apart? The number of rounds is set before the
// first, because stopping at a good result would bias the test.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { toTop } from '../../router.js';
import { Choice } from '../../components/form/choice.js';
import { TextField } from '../../components/form/field.js';
import { showToast } from '../../components/layout/toast.js';
import { followState } from '../../store/follow_state.js';
import { discrimination } from '../../rules/stats/discrimination.js';
import { Page } from '../shell/page.js';
import { drawRound, GLASSES_PER_ROUND, scoreOf, winesOf } from './triangle_rounds.js';
import { TriangleHistory } from './triangle_history.js';
import { afresh, saveOnce, startAgain, triangle } from './triangle_state.js';
import { TriangleResult } from '../../domain/blind/triangle_store.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('./triangle_rounds.js').Round} Round */
/** @typedef {import('./triangle_state.js').Triangle} Triangle */

const PLANS = [3, 5, 7, 10];
const DEFAULT_PLAN = 5;

export function TrianglePage() {
  useEffect(() => followState(triangle), []);
  const now = triangle.value ?? { names: [null, null], planned: DEFAULT_PLAN, rounds: [], handed: false };
  const { trials } = scoreOf(now.rounds);
  const open = now.rounds.find((round) => round.answer === null);
  const stage = open
    ? now.handed
      ? html`<${Tasting} now=${now} />`
      : html`<${Pouring} now=${now} round=${open} />`
    : trials
      ? html`<${Result} now=${now} />`
      : html`<${Plan} now=${now} />`;
  return html`<${Page} title=${t('evening.triangle')} back="/pour/evening" trailing="">${stage}<//>`;
}

/** @param {{ now: Triangle }} props */
function Plan({ now }) {
  const name = (
    /** @type {0 | 1} */ which,
  ) => html`<${TextField} label=${t(`evening.triangle_wine_${which + 1}`)} value=${now.names[which]} maxLength=${120}
    onChange=${(/** @type {string | null} */ entered) =>
      triangle.set({ ...now, names: which === 0 ? [entered, now.names[1]] : [now.names[0], entered] })} />`;
  const needed = discrimination('triangle', 0, now.planned).needed;
  return html`<p class="voice guide">${t('evening.triangle_guide')}</p>${name(0)}${name(1)}
    <${Choice} label=${t('evening.triangle_rounds')}
        note=${t('evening.triangle_rounds_note', { needed: needed ?? 0, planned: now.planned })}
        value=${String(now.planned)}
        options=${PLANS.map((count) => ({ id: String(count), label: t('evening.rounds', { count }) }))}
      onChange=${(/** @type {string | null} */ entered) => {
        if (entered) triangle.set({ ...now, planned: Number(entered) });
      }} />
    <${TriangleHistory} />
    <${AtThumb}>
    <button type="button" class="button primary"
        onClick=${() => triangle.set({ ...afresh(now), rounds: [drawRound()] })}>
      ${t('evening.triangle_draw')}
    </button>
    <//>`;
}

/** Show the instructions for the pourer. @param {{ now: Triangle, round: Round }} props */
function Pouring({ now, round }) {
  const name = (/** @type {number} */ wine) => now.names[wine] ?? t(`evening.triangle_wine_${wine + 1}`);
  return html`<p class="voice guide">${t('evening.triangle_pour', { round: now.rounds.length, planned: now.planned })}
  </p>
    <ol class="ruled" aria-label=${t('evening.pour_list')}>
      ${winesOf(round).map(
        (wine, place) => html`<li key=${place} class="flight-wine">
      <span class="glass-mark">${place + 1}
      </span>
      <span class="grow name">${name(wine)}
      </span>
      </li>`,
      )}
    </ol>
    <div class="buttons"><${EndTest} now=${now} /></div>
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${() => triangle.set({ ...now, handed: true })}>
      ${t('evening.triangle_hand')}
    </button>
    <//>`;
}

/** Leave the test; a result with rounds left out would be biased. @param {{ now: Triangle }} props */
function EndTest({ now }) {
  const end = () => {
    triangle.set(afresh(now));
    showToast(t('evening.triangle_ended'), () => triangle.set(now));
  };
  return html`<button type="button" class="button plain" onClick=${end}>${t('evening.triangle_end')}</button>`;
}

/**
 * Ask for the odd glass. No result is shown before the last round, because it would influence the
 * next one.
 * @param {{ now: Triangle }} props
 */
function Tasting({ now }) {
  const answer = (/** @type {number} */ place) => {
    const rounds = now.rounds.map((round) => (round.answer === null ? { ...round, answer: place } : round));
    const more = rounds.length < now.planned;
    triangle.set({ ...now, rounds: more ? [...rounds, drawRound()] : rounds, handed: false });
    toTop();
    if (more) showToast(t('evening.triangle_noted'));
  };
  return html`<p class="voice guide">${t('evening.triangle_taste', { round: now.rounds.length, planned: now.planned })}
  </p>
    <h2>${t('evening.triangle_which')}</h2>
    <div class="three-glasses">
      ${Array.from(
        { length: GLASSES_PER_ROUND },
        (_, place) => html`<button type="button"
          class="timer-button odd-glass" key=${place} aria-label=${t('evening.triangle_glass', { glass: place + 1 })}
          onClick=${() => answer(place)}>
      <span class="timer-seconds">${place + 1}
      </span>
      </button>`,
      )}
    </div>
    <p class="field-note">${t('evening.triangle_guess')}</p>
    <div class="buttons">
      <button type="button" class="button plain" onClick=${() => triangle.set({ ...now, handed: false })}>
        ${t('evening.triangle_list')}</button>
      <${EndTest} now=${now} /></div>`;
}

/** @param {{ now: Triangle }} props */
function Result({ now }) {
  const score = scoreOf(now.rounds);
  const [savedIn, setSavedIn] = useState('');
  useEffect(() => {
    saveOnce(now).then(setSavedIn);
  }, []);
  return html`<${TriangleResult} score=${score} />
    <ol class="ruled">
      ${now.rounds.map(
        (round, index) => html`<li key=${index} class="flight-wine">
      <span class="grow">
        ${t('evening.triangle_round', { round: index + 1, odd: round.odd + 1, answer: (round.answer ?? 0) + 1 })}
      </span>
      <span class="soft small">${t(round.answer === round.odd ? 'evening.found' : 'evening.missed')}
      </span>
      </li>`,
      )}
    </ol>
    <p class="field-note">${t('evening.triangle_source')}</p>
    ${
      savedIn &&
      html`<a class="row ruled-row" href=${`#/pour/visit/${savedIn}`}>
    <span class="grow">${t('evening.triangle_kept')}
    </span>
    <span aria-hidden="true">${'\u2192'}
    </span>
    </a>`
    }
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${() => startAgain(now)}>
      ${t('evening.triangle_again')}
    </button>
    <//>`;
}
