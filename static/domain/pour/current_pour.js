// The pour in hand: what it says so far, what is wrong with it, and the one way to write on it. Nothing is written before the first word.
import { batch, computed, signal } from '../../lib/ui.js';
import { validateFields } from '../../store/validate.js';
import { saveInvalidValues } from '../../store/invalid_values.js';
import { timestamp } from '../../lib/datetime.js';
import { setOpenPour } from '../../store/open_pour.js';
import { asked, steps } from './tasting_steps.js';
import { noteTyped } from './focused_field.js';
import { enqueue } from './autosave_queue.js';

/** @typedef {'tasting' | 'bottle'} Side the two records that a pour is written on */
/** @typedef {Record<string, any>} Fields */
/** @typedef {import('../../store/validate.js').FieldErrors[string][number]} Fault */
/**
 * @typedef {object} InHand
 * @property {string} tasting id
 * @property {string} bottle id; the record may not exist yet
 * @property {boolean} begun whether the tasting is written
 * @property {Fields} carried what the next pour takes over from the one before: visit, place, pour size
 */

/** @type {import('../../lib/ui.js').Signal<InHand | null>} */
export const inHand = signal(/** @type {InHand | null} */ (null));

export const says = { tasting: signal(/** @type {Fields} */ ({})), bottle: signal(/** @type {Fields} */ ({})) };

/** What cannot be kept as it stands, by `side.field`; it stays on the page as it was typed. */
export const faults = signal(/** @type {Record<string, Fault>} */ ({}));

/** What is said and can be kept: the ground of every reading. @param {Side} side @returns {Fields} */
export function sound(side) {
  return Object.fromEntries(Object.entries(says[side].value).filter(([field]) => !faults.value[`${side}.${field}`]));
}

/** Whether the label is hidden from the taster at this moment. */
export const isCovered = computed(() => says.tasting.value['label_hidden'] === true && !says.tasting.value['uncovered_at']);

/** While a pour is being kept: whether it had been kept before. Else null. */
export const wasClosed = signal(/** @type {boolean | null} */ (null));

export const isClosed = computed(() => wasClosed.value ?? Boolean(says.tasting.value['closed_at']));

/** Whether nothing was said that is worth keeping. */
export const isBlank = computed(() => {
  const carried = inHand.value?.carried ?? {};
  const said = (/** @type {Side} */ side) => Object.entries(says[side].value).some(([field, value]) => value !== null && value !== undefined && questions[side].has(field) && (side === 'bottle' || carried[field] !== value));
  return !said('tasting') && !said('bottle');
});

const questions = {
  tasting: new Set(steps.flatMap((step) => asked[step]?.tasting ?? [])),
  bottle: new Set(steps.flatMap((step) => asked[step]?.bottle ?? [])),
};

/**
 * Writes at once. A value that the book cannot hold is shown with its fault and waits on the page.
 * @param {Side} side
 * @param {Fields} fields
 */
export function write(side, fields) {
  const hand = inHand.peek();
  if (!hand) return;
  show(side, fields);
  noteTyped(side, Object.keys(fields));
  const before = faults.peek();
  const sound = withoutFaults(side, fields);
  if (Object.keys({ ...before, ...faults.peek() }).length) rememberFaulty(hand);
  if (!Object.keys(sound).length) return;
  const onTasting = side === 'tasting' ? sound : {};
  const missing = { ...(hand.begun ? {} : firstWords(hand)), ...(hasBottle() && says.tasting.peek()['bottle'] !== hand.bottle ? { bottle: hand.bottle } : {}) };
  const tasting = { ...missing, ...onTasting };
  if (!hand.begun) begin(hand);
  if (Object.keys(missing).length) show('tasting', tasting);
  enqueue([
    ...(Object.keys(tasting).length ? [{ kind: /** @type {const} */ ('tasting'), id: hand.tasting, fields: tasting }] : []),
    ...(side === 'bottle' ? [{ kind: /** @type {const} */ ('bottle'), id: hand.bottle, fields: sound }] : []),
  ]);
}

/** A fresh pour only remembers where it will be; one that is begun says it. @param {Fields} fields */
export function carry(fields) {
  const hand = inHand.peek();
  if (!hand) return;
  if (hand.begun) return write('tasting', fields);
  inHand.value = { ...hand, carried: { ...hand.carried, ...fields } };
  says.tasting.value = { ...says.tasting.peek(), ...fields };
  return undefined;
}

function hasBottle() {
  return Object.keys(says.bottle.peek()).length > 0;
}

/** @param {Side} side @param {Fields} fields */
export function show(side, fields) {
  says[side].value = { ...says[side].peek(), ...fields };
}

/** @param {InHand} hand */
function firstWords(hand) {
  return { ...hand.carried, tasted_at: timestamp() };
}

/** The pointer to this pour is written before its first record, so that no restart can miss it. @param {InHand} hand */
function begin(hand) {
  inHand.value = { ...hand, begun: true };
  setOpenPour(hand.tasting, stepAt.peek());
}

/** The step that stands open: `note` or one of the seven. */
export const stepAt = signal('note');

/** Also of a pour that has no record yet, so that the next start opens it again. @param {InHand} hand */
function rememberFaulty(hand) {
  const typed = Object.keys(faults.peek()).map((name) => {
    const [side, field] = /** @type {[Side, string]} */ (name.split('.'));
    return [name, says[side].peek()[field]];
  });
  // A phone that cannot keep it either says so at the next word that it should keep.
  saveInvalidValues(hand.tasting, Object.fromEntries(typed)).catch(() => undefined);
  if (!hand.begun && typed.length) setOpenPour(hand.tasting, stepAt.peek()).catch(() => undefined);
}

/** @param {Side} side @param {Fields} fields @returns {Fields} those that can be kept */
export function withoutFaults(side, fields) {
  const found = validateFields(side, fields);
  batch(() => {
    const left = { ...faults.peek() };
    for (const field of Object.keys(fields)) {
      const fault = found[field]?.[0];
      if (fault) left[`${side}.${field}`] = fault;
      else delete left[`${side}.${field}`];
    }
    faults.value = left;
  });
  return Object.fromEntries(Object.entries(fields).filter(([field]) => !found[field]));
}
