// One glass as a whole: the label once it is uncovered, everybody's answers once they are laid open, and the steps.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Row } from '../../components/layout/row.js';
import { AnswersView } from '../../domain/table/answers_view.js';
import { hasAnswer } from '../../domain/table/steps.js';
import { wasCutOff } from '../../domain/guest/guest_link.js';
import { glassesOf, isClosed, glassMark, reachedSteps } from '../../domain/guest/place.js';
import { summaryOf } from '../../domain/guest/laid_open.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';
import { silentSince } from './everyone_at.js';
import { LabelFacts } from './label_facts.js';
import { OwnGuesses } from './own_guesses.js';

/** @typedef {import('../../domain/guest/place.js').GuestGlass} GuestGlass */
/** @typedef {import('../../domain/guest/guest_store.js').View} View */

/**
 * @param {{ view: View, glass: GuestGlass, nowMs: number, onChoose: (shown: import('./where.js').Shown) =>
 *   void }} props
 */
export function GlassOverview({ view, glass, nowMs, onChoose }) {
  const values = valuesOfGlass(glass.id);
  const steps = reachedSteps(view, glass, values, wasCutOff.value);
  const isAlone = silentSince() && !glass.discussed && !view['table'].ended_at;
  const other = glassesOf(view).find(({ id }) => id === glass.same_as);
  return html`${glass.bottle && html`<${LabelFacts} bottle=${glass.bottle} again=${other ? glassMark(other) : ''} />`}
    <${OwnGuesses} view=${view} glass=${glass} values=${values} />
    ${glass.discussed && html`<${Talk} view=${view} glass=${glass} />`}
    ${
      steps.length > 0
        ? html`<section class="guest-part"><h2>${t('guest.your_answers')}</h2>
            ${isAlone && html`<p class="soft small">${t('guest.alone_note')}</p>`}
            <ul class="ruled">${steps.map(
              (step) =>
                html`<li key=${step}><${Row} name=${t(`group_step.${step}`)}
              line=${lineOf(hasAnswer(step, values), isClosed(view, glass, step, nowMs))}
              onClick=${() => onChoose({ glass: glass.id, step })}><span aria-hidden="true">${'\u2192'}</span><//>
              </li>`,
            )}</ul></section>`
        : html`<p class="voice guide">${t('guest.not_yet')}</p>`
    }`;
}

/** @param {boolean} isAnswered @param {boolean} closed */
function lineOf(isAnswered, closed) {
  const key = isAnswered ? 'answered' : 'unanswered';
  return closed ? `${t(`guest.${key}`)} \u00b7 ${t('guest.step_closed')}` : t(`guest.${key}`);
}

/** @param {{ view: View, glass: GuestGlass }} props */
function Talk({ view, glass }) {
  const { summary, nameOf } = summaryOf(view, glass);
  return html`<section class="guest-part"><h2>${t('guest.talk')}</h2>
    <${AnswersView} summary=${summary} nameOf=${nameOf} /></section>`;
}
