// The pour in hand: what it says so far, what is wrong with it, and the one way to write on it. Nothing is written
// before the first word.
import { batch, computed, signal } from '../../lib/ui.js';
import { validateFields } from '../../store/validate.js';
import { saveInvalidValues } from '../../store/invalid_values.js';
import { timestamp } from '../../lib/datetime.js';
import { openPour } from '../../store/open_pour.js';
import { stepFields, steps } from './tasting_steps.js';
import { noteTyped } from './focused_field.js';
import { enqueue } from './autosave_queue.js';

/** @typedef {'tasting' | 'bottle'} Target the two records that a pour is written on */
/** @typedef {Record<string, any>} Fields */
/** @typedef {import('../../store/validate.js').FieldErrors[string][number]} FieldError */
/**
 * @typedef {object} CurrentPour
 * @property {string} tasting id
 * @property {string} bottle id; the record may not exist yet
 * @property {boolean} created whether the tasting is written
 * @property {Fields} defaults what the next pour takes over from the one before: visit, place, pour size
 */

/** @type {import('../../lib/ui.js').Signal<CurrentPour | null>} */
export const currentPour = signal(/** @type {CurrentPour | null} */ (null));

export const values = { tasting: signal(/** @type {Fields} */ ({})), bottle: signal(/** @type {Fields} */ ({})) };

/** What cannot be kept as it stands, by `side.field`; it stays on the page as it was typed. */
export const errors = signal(/** @type {Record<string, FieldError>} */ ({}));

/** What is said and can be kept: the ground of every reading. @param {Target} side @returns {Fields} */
export function validValues(side) {
  return Object.fromEntries(Object.entries(values[side].value).filter(([field]) => !errors.value[`${side}.${field}`]));
}

/** Whether the label is hidden from the taster at this moment. */
export const isLabelHidden = computed(
  () => values.tasting.value['label_hidden'] === true && !values.tasting.value['uncovered_at'],
);

/** While a pour is being kept: whether it had been kept before. Else null. */
export const finishing = signal(/** @type {boolean | null} */ (null));

export const isFinished = computed(() => finishing.value ?? Boolean(values.tasting.value['closed_at']));

/** Whether nothing was said that is worth keeping. */
export const isEmpty = computed(() => {
  const carried = currentPour.value?.defaults ?? {};
  const said = (/** @type {Target} */ side) =>
    Object.entries(values[side].value).some(
      ([field, value]) =>
        value !== null &&
        value !== undefined &&
        questionFields[side].has(field) &&
        (side === 'bottle' || carried[field] !== value),
    );
  return !said('tasting') && !said('bottle');
});

const questionFields = {
  tasting: new Set(steps.flatMap((step) => stepFields[step]?.tasting ?? [])),
  bottle: new Set(steps.flatMap((step) => stepFields[step]?.bottle ?? [])),
};

/**
 * Writes at once. A value that the book cannot hold is shown with its fault and waits on the page.
 * @param {Target} side
 * @param {Fields} fields
 */
export function setFields(side, fields) {
  const pour = currentPour.peek();
  if (!pour) return;
  patch(side, fields);
  noteTyped(side, Object.keys(fields));
  const before = errors.peek();
  const sound = withoutInvalid(side, fields);
  if (Object.keys({ ...before, ...errors.peek() }).length) rememberInvalid(pour);
  if (!Object.keys(sound).length) return;
  const onTasting = side === 'tasting' ? sound : {};
  const missing = {
    ...(pour.created ? {} : initialFields(pour)),
    ...(hasBottleFields() && values.tasting.peek()['bottle'] !== pour.bottle ? { bottle: pour.bottle } : {}),
  };
  const tasting = { ...missing, ...onTasting };
  if (!pour.created) markCreated(pour);
  if (Object.keys(missing).length) patch('tasting', tasting);
  enqueue([
    ...(Object.keys(tasting).length
      ? [{ kind: /** @type {const} */ ('tasting'), id: pour.tasting, fields: tasting }]
      : []),
    ...(side === 'bottle' ? [{ kind: /** @type {const} */ ('bottle'), id: pour.bottle, fields: sound }] : []),
  ]);
}

/** A fresh pour only remembers where it will be; one that is begun says it. @param {Fields} fields */
export function setDefaults(fields) {
  const pour = currentPour.peek();
  if (!pour) return;
  if (pour.created) return setFields('tasting', fields);
  currentPour.value = { ...pour, defaults: { ...pour.defaults, ...fields } };
  values.tasting.value = { ...values.tasting.peek(), ...fields };
  return undefined;
}

function hasBottleFields() {
  return Object.keys(values.bottle.peek()).length > 0;
}

/** @param {Target} side @param {Fields} fields */
export function patch(side, fields) {
  values[side].value = { ...values[side].peek(), ...fields };
}

/** @param {CurrentPour} pour */
function initialFields(pour) {
  return { ...pour.defaults, tasted_at: timestamp() };
}

/**
 * The pointer to this pour is written before its first record, so that no restart can miss it.
 * @param {CurrentPour} pour
 */
function markCreated(pour) {
  currentPour.value = { ...pour, created: true };
  openPour.set({ tasting: pour.tasting, step: currentStep.peek() });
}

/** The step that stands open: `note` or one of the seven. */
export const currentStep = signal('note');

/** Also of a pour that has no record yet, so that the next start opens it again. @param {CurrentPour} pour */
function rememberInvalid(pour) {
  const typed = Object.keys(errors.peek()).map((name) => {
    const [side, field] = /** @type {[Target, string]} */ (name.split('.'));
    return [name, values[side].peek()[field]];
  });
  // A phone that cannot keep it either says so at the next word that it should keep.
  saveInvalidValues(pour.tasting, Object.fromEntries(typed)).catch(() => undefined);
  if (!pour.created && typed.length)
    openPour.set({ tasting: pour.tasting, step: currentStep.peek() }).catch(() => undefined);
}

/** @param {Target} side @param {Fields} fields @returns {Fields} those that can be kept */
export function withoutInvalid(side, fields) {
  const found = validateFields(side, fields);
  batch(() => {
    const left = { ...errors.peek() };
    for (const field of Object.keys(fields)) {
      const fault = found[field]?.[0];
      if (fault) left[`${side}.${field}`] = fault;
      else delete left[`${side}.${field}`];
    }
    errors.value = left;
  });
  return Object.fromEntries(Object.entries(fields).filter(([field]) => !found[field]));
}
