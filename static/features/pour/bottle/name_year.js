// A year typed in the name: moves it to the vintage if it is surely one, and offers to otherwise. Both are said in a
// toast, because a message on the page would move what the finger is about to tap.
import { t } from '../../../i18n.js';
import { vintageInName } from '../../../rules/label/vintage_in_name.js';
import { showToast } from '../../../components/layout/toast.js';
import { allBottles, isNameOfOther } from '../../../domain/bottle/all_bottles.js';
import { isPending } from '../../../domain/pour/autosave_queue.js';
import { currentPour, isFinished, setFields, values } from '../../../domain/pour/current_pour.js';

/** Names that the user wants as they typed them, as `bottle/name`. @type {Set<string>} */
const settled = new Set();

/** Names whose year was offered, as `bottle/name`. @type {Set<string>} */
const offered = new Set();

/**
 * Move the year to the vintage, unless it may belong to the name.
 * @param {string | undefined} bottle of the pour; this code may come so late that another wine is poured
 */
export async function moveYear(bottle) {
  const found = currentPour.peek()?.bottle === bottle && (await findYear());
  if (found && found.sure) move(found);
}

/** Do the same when the field is left, and say it. */
export async function moveYearAndSay() {
  const found = await findYear();
  if (!found) return;
  const { key, bottle, name, vintage, typed, before, sure } = found;
  const year = String(vintage);
  if (sure) {
    move(found);
    const undo = () => {
      settled.add(key);
      if (isNamed(bottle, name)) setFields('bottle', { name: typed, vintage: before });
    };
    showToast(t('pour.year_moved', { year }), undo, { label: t('pour.year_back') });
  } else if (!offered.has(key)) {
    offered.add(key);
    showToast(t('pour.year_maybe', { year }), () => move(found), {
      label: t('pour.year_offer', { year }),
      isOffer: true,
    });
  }
}

/**
 * Find the year of the current name. It is not sure if the user or another bottle keeps it in the name.
 * @returns {Promise<Found | null>}
 *
 * @typedef {import('../../../rules/label/vintage_in_name.js').Found & { key: string, bottle: string, typed: string,
 *   before: number | null }} Found `before` is the vintage before the move
 */
async function findYear() {
  const pour = currentPour.peek();
  const { name: typed, vintage, non_vintage } = values.bottle.peek();
  const found = typed && !non_vintage ? vintageInName(typed, new Date().getFullYear()) : null;
  if (!pour || !found || isFinished.peek() || (vintage && !(found.sure && vintage === found.vintage))) return null;
  const key = `${pour.bottle}/${typed}`;
  if (settled.has(key)) return null;
  const known = await allBottles();
  const isKnown = isNameOfOther(known, pour.bottle, typed);
  // The name or the vintage may have been edited while the bottles were read.
  if (!isNamed(pour.bottle, typed) || values.bottle.peek()['vintage'] !== vintage || isVintageTyped()) return null;
  // A name of another phone is shown only once the field is left.
  const stored = known.find(({ id }) => id === pour.bottle);
  if (stored && stored.fields['name'] !== typed && !isPending('bottle', pour.bottle, 'name')) return null;
  return { ...found, sure: found.sure && !isKnown, key, bottle: pour.bottle, typed, before: vintage ?? null };
}

/** Tell whether the pour shows this name still. @param {string} bottle @param {string} name */
function isNamed(bottle, name) {
  return currentPour.peek()?.bottle === bottle && values.bottle.peek()['name'] === name;
}

/** Tell whether a vintage is being typed, which must not be replaced. */
function isVintageTyped() {
  const active = document.activeElement;
  return active instanceof HTMLInputElement && Boolean(active.closest('.vintage-field')) && active.value !== '';
}

/** @param {Found} found */
function move({ bottle, typed, name, vintage }) {
  if (isNamed(bottle, typed)) setFields('bottle', { name, vintage });
}
