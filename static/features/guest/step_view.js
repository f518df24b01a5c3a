// One step of one glass: the leader's sentence, the questions, and what became of answers that came too late.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list } from '../../lib/format.js';
import { customText } from '../../domain/aroma/entry.js';
import { tastedBefore } from '../../domain/table/same_wine.js';
import { SheetForm } from '../../domain/table/sheet_form.js';
import { fieldsOfStep } from '../../domain/table/steps.js';
import { wasCutOff } from '../../domain/guest/guest_link.js';
import { glassesOf, isClosed, isLed, isPassed, ledPlace, neighbour, stepsOf } from '../../domain/guest/place.js';
import { note, seat, setTimer, timerStart, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { keepTyped, typedOfGlass, typedText } from '../../domain/guest/typed_words.js';
import { DoneFoot } from './done_foot.js';
import { silentSince } from './everyone_at.js';
import { LateAnswers } from './late_answers.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../domain/guest/place.js').GuestGlass} GuestGlass */
/** @typedef {import('../../domain/guest/guest_store.js').View} View */

/**
 * @param {{ view: View, glass: GuestGlass, step: string, nowMs: number, onChoose: (shown:
 *   import('./where.js').Shown) => void }} props
 */
export function StepView({ view, glass, step, nowMs, onChoose }) {
  const steps = stepsOf(view);
  const closed = isClosed(view, glass, step, nowMs);
  const values = valuesOfGlass(glass.id);
  const led = ledPlace(view);
  const isAhead = led !== null && !isPassed(glass, step) && !(led.glass === glass.id && led.step === step);
  // Without a signal nobody leads, so the guest goes on alone.
  const isAlone = silentSince() !== null || (wasCutOff.value && isAhead);
  return html`<div class="guest-step-head"><h2 data-start>${t(`group_step.${step}`)}</h2>
      <span class="soft small">
        ${t('guest.step_of', { step: steps.indexOf(step) + 1, steps: steps.length })}</span></div>
    ${
      closed
        ? html`<p class="notice" role="status">${t('guest.closed')}</p>`
        : html`<p class="voice guide">${view['table'].guidance?.[step] || t(`guest.guidance_${step}`)}</p>`
    }
    ${isAlone && isAhead && !closed && html`<p class="notice" role="status">${t('guest.alone_note')}</p>`}
    <${LateAnswers} glass=${glass.id} step=${step} />
    ${closed && html`<${TypedOnly} glass=${glass.id} step=${step} />`}
    <${SheetForm} key=${String(closed)} step=${step}
      values=${values} disabled=${closed} guesses=${view['table'].ask_guesses !== false}
      bottle=${glass.bottle ?? null} others=${othersOf(view, glass)}
      timer=${{
        startedAt: timerStart(seat.value, glass.id, closed),
        onStart: (/** @type {number | null} */ startedMs) => setTimer(glass.id, startedMs),
      }}
      typing=${closed ? undefined : typingOf(glass.id)}
      onChange=${(/** @type {string} */ field, /** @type {any} */ value) => note(glass.id, field, value)} />
    ${
      isLed(view) && !isAlone
        ? !closed && html`<${DoneFoot} view=${view} glass=${glass} step=${step} />`
        : html`<${FreeFoot} view=${view} place=${{ glass: glass.id, step }} onChoose=${onChoose} />`
    }`;
}

/** Show what was typed and not added before the step closed. @param {{ glass: string, step: string }} props */
function TypedOnly({ glass, step }) {
  const fields = fieldsOfStep(step);
  const typed = Object.entries(typedOfGlass(glass)).filter(([field]) => fields.includes(field));
  if (!typed.length) return null;
  return html`<p class="notice" role="status">${t('guest.typed_only', {
    words: list(typed.map(([, entry]) => customText(entry))),
  })}</p>`;
}

/** @param {View} view @param {GuestGlass} glass @returns {GuestGlass[]} which may have the same wine, while covered */
function othersOf(view, { id }) {
  return view['table'].labels_hidden === false ? [] : tastedBefore(glassesOf(view), id, valuesOfGlass);
}

/** @param {string} glass */
function typingOf(glass) {
  return (/** @type {string} */ field) => ({
    text: typedText(glass, field),
    onText: (/** @type {string} */ text) => keepTyped(glass, field, text),
  });
}

/**
 * @param {{ view: View, place: import('../../domain/guest/place.js').Place, onChoose: (shown:
 *   import('./where.js').Shown) => void }} props
 */
function FreeFoot({ view, place, onChoose }) {
  const [before, next] = [neighbour(view, place, -1), neighbour(view, place, 1)];
  const steps = stepsOf(view);
  const isNewGlass = next && next.glass !== place.glass;
  const label = isNewGlass
    ? t('guest.next_glass')
    : t('guest.next', { step: t(`group_step.${next?.step ?? steps[0]}`) });
  return html`<${AtThumb}>
    ${
      before &&
      html`<button type="button" class="button" onClick=${() => onChoose(before)}>
      <span aria-hidden="true">${'\u2190'}</span><span class="unseen">${t('guest.before')}</span></button>`
    }
    ${
      next
        ? html`<button type="button" class="button primary" onClick=${() => onChoose(next)}>${label}</button>`
        : html`<button type="button" class="button primary"
            onClick=${() => onChoose({ glass: place.glass, step: null })}>${t('guest.finished')}</button>`
    }<//>`;
}
