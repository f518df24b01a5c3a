// Taking a pour in hand: the one that stood open, one that is to be edited, or a fresh one that leaves no trace until its first word.
import { batch, effect } from '../../ui.js';
import { closePour, openPour, setOpenPour } from '../../book/open_pour.js';
import { bottle, live, settings, tasting, tastingsNewest, visits } from '../../book/read.js';
import { newId } from '../../book/write.js';
import { faults, inHand, says, show, stepAt } from './in_hand.js';
import { runningVisit } from './visits.js';
import { isUnderWay } from './write_queue.js';

/** @typedef {import('./in_hand.js').Side} Side */
/** @typedef {import('./in_hand.js').Fields} Fields */
/** @typedef {import('../../book/record.js').Row} Row */

const SAME_SITTING_MS = 6 * 3_600_000;

let letGo = () => {};

/**
 * @param {string | undefined} wanted id of a tasting in an address; none for the pour that stands open
 * @returns {Promise<boolean>} false when the wanted tasting is not in this book
 */
export async function takeUp(wanted) {
  const id = wanted ?? openPour.peek()?.tasting ?? newId();
  const row = await tasting(id);
  const gone = Boolean(row?.gone);
  if (wanted && (gone || (!row && openPour.peek()?.tasting !== wanted && inHand.peek()?.tasting !== wanted))) return false;
  if (gone) {
    await closePour();
    return takeUp(undefined);
  }
  const bottleRow = await wholeBottle(row?.fields['bottle']);
  const carried = row ? {} : await carriedOver();
  letGo();
  batch(() => {
    says.tasting.value = { ...carried, ...row?.fields };
    says.bottle.value = { ...bottleRow?.fields };
    faults.value = {};
    // Where it was left, from its first paint on.
    if (!wanted) stepAt.value = openPour.peek()?.tasting === id ? openPour.peek()?.step ?? 'note' : 'note';
    inHand.value = { tasting: id, bottle: bottleRow?.id ?? row?.fields['bottle'] ?? newId(), begun: Boolean(row), carried };
  });
  letGo = follow(id);
  return true;
}

/** Lays the pour aside, so that the next one taken up is a fresh one. */
export async function layAside() {
  letGo();
  letGo = () => {};
  stepAt.value = 'note';
  await closePour();
}

/** Notes at which step one stands; a fresh pour at its quick note and one that was closed before leave no pointer. @param {string} step */
export function standAt(step) {
  stepAt.value = step;
  const hand = inHand.peek();
  if (!hand || says.tasting.peek()['closed_at'] || (!hand.begun && step === 'note')) return;
  const open = openPour.peek();
  if (open?.tasting !== hand.tasting || open.step !== step) setOpenPour(hand.tasting, step);
}

/** @param {string | null | undefined} id @returns {Promise<Row | undefined>} the bottle, or the one it was merged into */
async function wholeBottle(id) {
  let row = id ? await bottle(id) : undefined;
  for (let hops = 0; row?.fields['merged_into'] && hops < 8; hops += 1) row = (await bottle(row.fields['merged_into'])) ?? row;
  return row;
}

/** Place and visit are those of the pour before, as long as the visit runs or the sitting lasts. @returns {Promise<Fields>} */
async function carriedOver() {
  const running = runningVisit(await visits(), new Date());
  const latest = (await tastingsNewest(1))[0]?.fields ?? {};
  const place = running?.fields['place'] ?? (isRecent(latest) && (!running || latest['visit'] === running.id) ? latest['place'] : null);
  const pour_ml = (running && latest['visit'] === running.id ? latest['pour_ml'] : null) ?? (await settings()).fields['pour_ml'];
  return Object.fromEntries(Object.entries({ visit: running?.id, place, pour_ml }).filter(([, value]) => value !== null && value !== undefined));
}

/** @param {Fields} latest */
function isRecent(latest) {
  return !latest['example'] && Date.now() - Date.parse(latest['tasted_at'] ?? '') < SAME_SITTING_MS;
}

/** Follows what other tabs and other devices write, field by field, but never over what is being typed here. @param {string} tastingId */
function follow(tastingId) {
  const ofTasting = live(() => tasting(tastingId), undefined);
  const stopTasting = effect(() => { if (ofTasting.value) takeIn('tasting', ofTasting.value); });
  let stopBottle = () => {};
  const stopHand = effect(() => {
    const bottleId = inHand.value?.bottle;
    stopBottle();
    if (!bottleId) return;
    const ofBottle = live(() => bottle(bottleId), undefined);
    stopBottle = effect(() => { if (ofBottle.value) takeIn('bottle', ofBottle.value); });
  });
  return () => { stopTasting(); stopHand(); stopBottle(); };
}

/** @param {Side} side @param {Row} row */
function takeIn(side, row) {
  const shown = says[side].peek();
  const news = Object.entries(row.fields).filter(([field, value]) => !isUnderWay(side, row.id, field) && !faults.peek()[`${side}.${field}`]
    && JSON.stringify(shown[field] ?? null) !== JSON.stringify(value ?? null));
  if (news.length) show(side, Object.fromEntries(news));
}
