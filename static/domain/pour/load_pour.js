// Loads the current pour: the unfinished one, one to edit, or a new one that is not saved before
// its first edit.
import { batch, effect } from '../../lib/ui.js';
import { openPour } from '../../store/open_pour.js';
import { bottle, bottlesByIds, liveSignal, settings, tasting, latestTastings } from '../../store/queries.js';
import { isEmptied } from '../../store/record.js';
import { newId } from '../../store/write.js';
import { resolveBottle } from '../bottle_names.js';
import { loadInvalidValues } from '../../store/invalid_values.js';
import { journaled, journaledFields } from '../../store/write_journal.js';
import { errors, currentPour, values, patch, currentStep, withoutInvalid } from './current_pour.js';
import { isTypedIn, onBlur } from './focused_field.js';
import { runningVisit } from './visits.js';
import { isPending, whenIdle } from './autosave_queue.js';

/** @typedef {import('./current_pour.js').Target} Target */
/** @typedef {import('./current_pour.js').Fields} Fields */
/** @typedef {import('../../store/record.js').Row} Row */

const OWN_AND_ONE_MORE = 2;
const SESSION_GAP_MS = 6 * 3_600_000;

let unsubscribe = () => {};

/**
 * @param {string | undefined} requestedId tasting id of the route; undefined for the unfinished pour
 * @returns {Promise<boolean>} false if there is no such tasting
 */
export async function loadPour(requestedId) {
  const id = requestedId ?? openPour.peek()?.tasting ?? (await journaledPour()) ?? newId();
  const row = await tasting(id);
  const isGone = Boolean(row?.gone);
  const onTasting = journaledFields('tasting', id);
  const isJournaled = Object.keys(onTasting).length > 0;
  if (
    requestedId &&
    (isGone ||
      (!row && !isJournaled && openPour.peek()?.tasting !== requestedId && currentPour.peek()?.tasting !== requestedId))
  )
    return false;
  // A page that was closed while it saved the finished pour left it open.
  if (isGone || (!requestedId && { ...row?.fields, ...onTasting }['closed_at'])) {
    await openPour.set(null);
    return loadPour(undefined);
  }
  const bottleId = onTasting['bottle'] ?? row?.fields['bottle'];
  const bottleRow = resolveBottle(await bottlesByIds([bottleId]), bottleId);
  const newest = latestTastings(OWN_AND_ONE_MORE);
  const [isFirst, defaults, invalid] = await Promise.all([
    newest.then((found) => found.every((other) => other.id === id)),
    row || isJournaled ? {} : newest.then(inheritedDefaults),
    loadInvalidValues(id).catch(() => ({})),
  ]);
  const bottleKey = bottleRow?.id ?? bottleId ?? newId();
  unsubscribe();
  batch(() => {
    values.tasting.value = { ...defaults, ...row?.fields, ...onTasting, ...ofSide('tasting', invalid) };
    values.bottle.value = {
      ...bottleRow?.fields,
      ...journaledFields('bottle', bottleKey),
      ...ofSide('bottle', invalid),
    };
    errors.value = {};
    for (const side of sides) withoutInvalid(side, ofSide(side, invalid));
    // Continue at the step where the pour was left.
    if (!requestedId) currentStep.value = openPour.peek()?.tasting === id ? (openPour.peek()?.step ?? 'note') : 'note';
    currentPour.value = { tasting: id, bottle: bottleKey, created: Boolean(row) || isJournaled, defaults, isFirst };
  });
  unsubscribe = subscribe(id);
  return true;
}

const sides = /** @type {Target[]} */ (['tasting', 'bottle']);

/**
 * @param {Target} side
 * @param {import('../../store/invalid_values.js').Values} values
 * @returns {Fields}
 */
function ofSide(side, values) {
  const own = Object.entries(values).filter(([name]) => name.startsWith(`${side}.`));
  return Object.fromEntries(own.map(([name, value]) => [name.slice(side.length + 1), value]));
}

/** @returns {Promise<string | undefined>} the unfinished pour, if the storage was too full to save even its pointer */
async function journaledPour() {
  const edit = journaled
    .peek()
    .findLast(({ kind, fields }) => kind === 'tasting' && fields?.['tasted_at'] && !fields['closed_at']);
  return edit && !(await tasting(edit.id)) ? edit.id : undefined;
}

/** Close the pour, so that the next load creates a new one. */
export async function closePour() {
  unsubscribe();
  unsubscribe = () => {};
  currentStep.value = 'note';
  await openPour.set(null);
}

/**
 * Store the current step. A new pour without edits and a finished pour store none.
 * @param {string} step
 */
export function goToStep(step) {
  currentStep.value = step;
  const pour = currentPour.peek();
  if (!pour || values.tasting.peek()['closed_at'] || (!pour.created && step === 'note')) return;
  const open = openPour.peek();
  if (open?.tasting !== pour.tasting || open.step !== step) openPour.set({ tasting: pour.tasting, step });
}

/**
 * Return the defaults of a new pour: place and visit of the previous one while the visit runs or
 * the last pour is recent.
 * @param {Row[]} newest
 * @returns {Promise<Fields>}
 */
async function inheritedDefaults(newest) {
  const [running, { fields: preferred }] = await Promise.all([runningVisit(), settings()]);
  const latest = newest[0]?.fields ?? {};
  const place =
    running?.fields['place'] ??
    (isRecent(latest) && (!running || latest['visit'] === running.id) ? latest['place'] : null);
  const pour_ml = (running && latest['visit'] === running.id ? latest['pour_ml'] : null) ?? preferred['pour_ml'];
  return Object.fromEntries(
    Object.entries({ visit: running?.id, place, pour_ml }).filter(([, value]) => value !== null && value !== undefined),
  );
}

/** @param {Fields} latest */
function isRecent(latest) {
  return !latest['example'] && Math.abs(Date.now() - Date.parse(latest['tasted_at'])) < SESSION_GAP_MS;
}

/**
 * Apply edits of other tabs and devices field by field, except to a field that the user is typing
 * in.
 * @param {string} tastingId
 */
function subscribe(tastingId) {
  const ofTasting = liveSignal(() => tasting(tastingId), undefined);
  const stopTasting = effect(() => {
    const row = ofTasting.value;
    if (row?.gone && !isEmptied(row)) showDeletion(tastingId);
    else if (row) applyRemote('tasting', row);
  });
  let stopBottle = () => {};
  const stopCurrent = effect(() => {
    const bottleId = currentPour.value?.bottle;
    stopBottle();
    if (!bottleId) return;
    const ofBottle = liveSignal(() => bottle(bottleId), undefined);
    stopBottle = effect(() => {
      if (ofBottle.value?.fields['merged_into']) showSurvivor(bottleId);
      else if (ofBottle.value) applyRemote('bottle', ofBottle.value);
    });
  });
  return () => {
    stopTasting();
    stopCurrent();
    stopBottle();
  };
}

/** @param {string} id of a tasting that was deleted on another device; an edit that waits here restores it */
async function showDeletion(id) {
  await whenIdle();
  const row = await tasting(id);
  const pour = currentPour.peek();
  if (row?.gone && pour?.tasting === id) currentPour.value = { ...pour, gone: true };
}

/** @param {string} id of a bottle that was merged into another one while it was shown */
async function showSurvivor(id) {
  await whenIdle();
  const row = resolveBottle(await bottlesByIds([id]), id);
  const pour = currentPour.peek();
  if (!row || row.id === id || pour?.bottle !== id) return;
  batch(() => {
    values.bottle.value = row.fields;
    currentPour.value = { ...pour, bottle: row.id };
  });
}

/** @param {Target} side @param {Row} row */
function applyRemote(side, row) {
  const current = values[side].peek();
  const local = journaledFields(side, row.id);
  const changed = Object.entries(row.fields).filter(
    ([field, value]) =>
      !(field in local) &&
      !isPending(side, row.id, field) &&
      !errors.peek()[`${side}.${field}`] &&
      JSON.stringify(current[field] ?? null) !== JSON.stringify(value ?? null),
  );
  const free = changed.filter(([field]) => !isTypedIn(side, field));
  if (free.length) patch(side, Object.fromEntries(free));
}

// Show what arrived while the user typed. The store knows which value is the latest.
onBlur(async (side) => {
  await whenIdle();
  const id = currentPour.peek()?.[side];
  const row = id && (await (side === 'tasting' ? tasting : bottle)(id));
  if (row && currentPour.peek()?.[side] === id) applyRemote(side, row);
});
