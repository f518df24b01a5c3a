// Which step of which glass a guest is at. Pure; the view is what the server lets this guest see.
import { hasAnswer, inOrder } from '../table/steps.js';

/** @typedef {import('./guest_store.js').View} View */
/** @typedef {{ id: string, mark: string | null, position: number, closed: Record<string, number>, discussed: boolean,
 *   uncovered: boolean, bottle?: Record<string, any>, same_as?: string | null, answers?: { guest: number | null, name:
 *   string | null, fields: Record<string, any> }[] }} GuestGlass */
/** @typedef {{ glass: string, step: string }} Place */

/** @param {View} view @returns {GuestGlass[]} in the order of this guest */
export function glassesOf(view) {
  return [...(view['glasses'] ?? [])].sort((one, other) => one.position - other.position);
}

/** @param {Pick<GuestGlass, 'mark' | 'position'>} glass @returns {string} its letter, else its number */
export function glassMark({ mark, position }) {
  return mark || String(position);
}

/** @param {View} view @returns {string[]} */
export function stepsOf(view) {
  return inOrder(view['table']?.steps);
}

/** @param {View} view */
export function isLed(view) {
  return view['table']?.pace !== 'free';
}

/** @param {View} view @returns {Place | null} what the leader has opened for everybody */
export function ledPlace(view) {
  const { open_glass: glass, open_step: step } = view['table'] ?? {};
  const isKnown = glassesOf(view).some(({ id }) => id === glass) && stepsOf(view).includes(step);
  return isLed(view) && isKnown ? { glass, step } : null;
}

/** @param {GuestGlass} glass @param {string} step @returns {boolean} closes soon, or has closed */
export function isPassed(glass, step) {
  return Boolean(glass.discussed || glass.closed?.[step]);
}

/**
 * @param {View} view
 * @param {GuestGlass} glass
 * @param {string} step
 * @param {number} nowMs the server's time
 * @returns {boolean} takes no answers any more
 */
export function isClosed(view, glass, step, nowMs) {
  const closing = glass.closed?.[step];
  return Boolean(view['table']?.ended_at || glass.discussed || (closing && closing < nowMs));
}

/**
 * @param {View} view
 * @param {Place} left the step that the guest had not finished when the leader went on
 * @param {Place | null} place that the page shows
 * @param {(glass: string) => Record<string, any>} valuesOf
 * @param {number} nowMs the server's time
 * @returns {'open' | 'closed' | null} what is worth saying of the step; null once the guest has gone on as well
 */
export function leftState(view, left, place, valuesOf, nowMs) {
  const glass = glassesOf(view).find(({ id }) => id === left.glass);
  if (glass && !isClosed(view, glass, left.step, nowMs)) return 'open';
  return place && hasAnswer(place.step, valuesOf(place.glass)) ? null : 'closed';
}

/**
 * Close every step of a table that takes nothing from this phone any more, though the phone may not know of an end.
 * @param {View} view
 * @param {string} now
 * @returns {View}
 */
export function endedView(view, now) {
  return { ...view, table: { ...view['table'], ended_at: view['table']?.ended_at ?? now } };
}

/**
 * @param {Pick<import('./guest_store.js').Seat, 'state' | 'view'>} seat of a phone that has the network
 * @returns {'already' | 'keep' | 'over'} what leaving means: nothing more; the seat is kept; nobody comes back to it
 */
export function leavingKey({ state, view }) {
  if (state === 'left') return 'already';
  // Who was removed comes back as somebody else.
  return state === 'in' && !view['table']?.ended_at ? 'keep' : 'over';
}

/**
 * Tell whether the labels are all shown while the leader can still open the results.
 * @param {Pick<import('./guest_store.js').Seat, 'view' | 'origin' | 'state'>} seat
 */
export function areResultsDue({ view, origin, state }) {
  const glasses = glassesOf(view);
  const areShown = glasses.length > 0 && glasses.every(({ uncovered }) => uncovered);
  return areShown && origin === 'server' && state === 'in' && !view['results'] && !view['table']?.ended_at;
}

/**
 * @param {View} view
 * @returns {GuestGlass[]} whose answers or label the leader has shown, the one tasted last first
 */
export function shownGlasses(view) {
  const closedMs = (/** @type {GuestGlass} */ { closed }) => Math.max(0, ...Object.values(closed ?? {}));
  return glassesOf(view)
    .filter(({ discussed, uncovered, bottle }) => discussed || (uncovered && bottle))
    .sort((one, other) => closedMs(other) - closedMs(one));
}

/** @param {View} view @param {number} nowMs the server's time @returns {number | null} when the next step closes */
export function nextClosing(view, nowMs) {
  const closings = glassesOf(view).flatMap(({ closed }) => Object.values(closed ?? {}));
  const ahead = closings.filter((ms) => ms >= nowMs);
  return ahead.length ? Math.min(...ahead) : null;
}

/**
 * @param {View} view
 * @param {GuestGlass} glass
 * @param {Record<string, any>} values of this guest
 * @param {boolean} [isAlone] whether the guest has had no signal, so that nobody tells what is open
 * @returns {string[]} the steps that a guest may look at: all at their own pace; else the open one, and those before it
 */
export function reachedSteps(view, glass, values, isAlone = false) {
  const led = ledPlace(view);
  const order = glassesOf(view).map(({ id }) => id);
  const isAhead = isAlone && led !== null && order.indexOf(glass.id) >= order.indexOf(led.glass);
  if (!isLed(view) || isAhead) return stepsOf(view);
  return stepsOf(view).filter(
    (step) =>
      (led?.glass === glass.id && led.step === step) ||
      Boolean(view['table']?.ended_at) ||
      isPassed(glass, step) ||
      hasAnswer(step, values),
  );
}

/**
 * @param {View} view
 * @param {Place} place
 * @param {1 | -1} by
 * @returns {Place | null} the next or previous step at the guest's own pace; the last glass has no next one
 */
export function neighbour(view, { glass, step }, by) {
  const steps = stepsOf(view);
  const places = glassesOf(view).flatMap(({ id }) => steps.map((each) => ({ glass: id, step: each })));
  const at = places.findIndex((place) => place.glass === glass && place.step === step);
  return places[at + by] ?? null;
}

/**
 * @param {View} view
 * @param {(glass: string) => Record<string, any>} valuesOf
 * @returns {Place | null} where a guest goes on at their own pace: the step after the last one with an answer
 */
export function resumedPlace(view, valuesOf) {
  const glasses = glassesOf(view).filter(({ discussed }) => !discussed);
  const steps = stepsOf(view);
  const places = glasses.flatMap(({ id }) => steps.map((step) => ({ glass: id, step })));
  const last = places.findLastIndex(({ glass, step }) => hasAnswer(step, valuesOf(glass)));
  return places[Math.min(last + 1, places.length - 1)] ?? null;
}

/**
 * @param {View} view
 * @param {Place | null} before the place of this function that the page shows
 * @param {(glass: string) => Record<string, any>} valuesOf
 * @returns {Place | null} where a guest starts at their own pace: `before` while it is there, as else an answer would
 *   turn the page; null if the leader leads
 */
export function freePlace(view, before, valuesOf) {
  if (isLed(view)) return null;
  const isThere = glassesOf(view).some(({ id }) => id === before?.glass) && stepsOf(view).includes(before?.step ?? '');
  return isThere ? before : resumedPlace(view, valuesOf);
}
