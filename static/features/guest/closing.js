// A step whose leader went on stays open for some seconds more, so that guests can finish what they were noting.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { doneField, fieldsOfStep, hasAnswer } from '../../domain/table/steps.js';
import { serverTime } from '../../domain/guest/clock.js';
import { glassesOf, isClosed, isPassed, leftState, nextClosing } from '../../domain/guest/place.js';
import { answersByGlass, seat, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { glassName } from './glass_row.js';

/** @typedef {import('../../domain/guest/guest_store.js').View} View */
/** @typedef {import('../../domain/guest/place.js').Place} Place */

/** Who noted something so recently may have more to note. */
const RECENT_MS = 10_000;
/** Timers may fire a little early. */
const MARGIN_MS = 50;

/** @param {View} view @returns {number} the server's time; the caller is rendered again when a step closes */
export function useServerTime(view) {
  const [, rerender] = useState(0);
  const nowMs = serverTime(seat.value?.clock);
  const next = nextClosing(view, nowMs);
  useEffect(() => {
    if (next === null) return undefined;
    const timer = setTimeout(() => rerender((times) => times + 1), next - nowMs + MARGIN_MS);
    return () => clearTimeout(timer);
  }, [next]);
  return nowMs;
}

/**
 * Tell whether the guest may have been in the middle of a step that the leader left.
 * @param {View} view
 * @param {Place} place
 * @param {number} nowMs the server's time
 */
export function isUnfinished(view, { glass: id, step }, nowMs) {
  const glass = glassesOf(view).find((each) => each.id === id);
  if (!glass || !isPassed(glass, step) || isClosed(view, glass, step, nowMs)) return false;
  const values = valuesOfGlass(id);
  if (values[doneField(step)] === true) return false;
  const fields = fieldsOfStep(step);
  const answers = (answersByGlass().get(id) ?? []).filter(({ field }) => fields.includes(field));
  const times = answers.flatMap(({ entries, accepted }) => [...entries, ...(accepted ? [accepted] : [])]);
  return !hasAnswer(step, values) || times.some(({ ms }) => nowMs - ms < RECENT_MS);
}

/**
 * Draw the way back to the step that was left in the middle; once it has closed it says so in the same place.
 * @param {{ view: View, left: Place, place: Place | null, nowMs: number, onBack: () => void }} props place: what the
 *   page shows
 */
export function StillOpen({ view, left, place, nowMs, onBack }) {
  const state = leftState(view, left, place, valuesOfGlass, nowMs);
  if (!state) return null;
  const other = left.glass === place?.glass ? undefined : glassesOf(view).find(({ id }) => id === left.glass);
  const key = state === 'closed' ? 'has_closed' : 'still_open';
  const step = t(`group_step.${left.step}`);
  return html`<div class="guest-bar guest-bar-left" role="status">
    <p>${other ? t(`guest.${key}_at`, { glass: glassName(other), step }) : t(`guest.${key}`, { step })}</p>
    ${
      state === 'open' &&
      html`<button type="button" class="button" onClick=${onBack}>${t('guest.finish_step')}</button>`
    }
  </div>`;
}
