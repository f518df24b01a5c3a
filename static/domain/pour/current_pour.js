// State of the current pour: values, errors, and the function that changes them. Nothing is saved
// before the first edit.
import { batch, computed, signal } from '../../lib/ui.js';
import { validateFields } from '../../store/validate.js';
import { saveInvalidValues } from '../../store/invalid_values.js';
import { timestamp } from '../../lib/datetime.js';
import { openPour } from '../../store/open_pour.js';
import { stepFields, steps } from './tasting_steps.js';
import { noteTyped } from './focused_field.js';
import { enqueue } from './autosave_queue.js';

/** @typedef {'tasting' | 'bottle'} Target the two records of a pour */
/** @typedef {Record<string, any>} Fields */
/** @typedef {import('../../store/validate.js').FieldErrors[string][number]} FieldError */
/**
 * @typedef {object} CurrentPour
 * @property {string} tasting id
 * @property {string} bottle id; the record may not exist yet
 * @property {boolean} created whether the tasting was saved
 * @property {Fields} defaults fields taken over from the previous pour: visit, place, pour size
 * @property {boolean} isFirst whether there was no other tasting when it was loaded
 * @property {boolean} [gone] whether it was deleted while it was open
 */

/** @type {import('../../lib/ui.js').Signal<CurrentPour | null>} */
export const currentPour = signal(/** @type {CurrentPour | null} */ (null));

export const values = { tasting: signal(/** @type {Fields} */ ({})), bottle: signal(/** @type {Fields} */ ({})) };

/** Errors of values that cannot be saved, by `side.field`. The values stay on the page. */
export const errors = signal(/** @type {Record<string, FieldError>} */ ({}));

/**
 * Return the values that pass validation; conclusions use only these.
 * @param {Target} side
 * @returns {Fields}
 */
export function validValues(side) {
  return Object.fromEntries(Object.entries(values[side].value).filter(([field]) => !errors.value[`${side}.${field}`]));
}

/** Whether the label is hidden from the user now. */
export const isLabelHidden = computed(
  () => values.tasting.value['label_hidden'] === true && !values.tasting.value['uncovered_at'],
);

/** While a pour is being finished: whether it had been finished before. Otherwise null. */
export const finishing = signal(/** @type {boolean | null} */ (null));

export const isFinished = computed(() => finishing.value ?? Boolean(values.tasting.value['closed_at']));

/** Whether the pour has no value worth saving. */
export const isEmpty = computed(() => {
  const defaults = currentPour.value?.defaults ?? {};
  const hasOwnValue = (/** @type {Target} */ side) =>
    Object.entries(values[side].value).some(
      ([field, value]) =>
        value !== null &&
        value !== undefined &&
        questionFields[side].has(field) &&
        (side === 'bottle' || defaults[field] !== value),
    );
  return !hasOwnValue('tasting') && !hasOwnValue('bottle');
});

const questionFields = {
  tasting: new Set(steps.flatMap((step) => stepFields[step]?.tasting ?? [])),
  bottle: new Set(steps.flatMap((step) => stepFields[step]?.bottle ?? [])),
};

/**
 * Show and save values. An invalid value stays on the page with its error.
 * @param {Target} side
 * @param {Fields} fields
 * @param {import('./autosave_queue.js').Change[]} [also] saved in the same commit
 */
export function setFields(side, fields, also = []) {
  const pour = currentPour.peek();
  if (!pour) return;
  patch(side, fields);
  noteTyped(side, Object.keys(fields));
  const before = errors.peek();
  const valid = withoutInvalid(side, fields);
  if (Object.keys({ ...before, ...errors.peek() }).length) rememberInvalid(pour);
  if (!Object.keys(valid).length) return;
  const onTasting = side === 'tasting' ? valid : {};
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
    ...(side === 'bottle' ? [{ kind: /** @type {const} */ ('bottle'), id: pour.bottle, fields: valid }] : []),
    ...also,
  ]);
}

/**
 * Set fields without creating the pour: a new pour only remembers them until its first edit.
 * @param {Fields} fields
 */
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
 * Store the pointer to this pour before its first record, so that a restart finds it.
 * @param {CurrentPour} pour
 */
function markCreated(pour) {
  currentPour.value = { ...pour, created: true };
  openPour.set({ tasting: pour.tasting, step: currentStep.peek() });
}

/** The current step: `note` or one of the seven. */
export const currentStep = signal('note');

/**
 * Store the invalid values of the pour, and point to it even if it has no record yet.
 * @param {CurrentPour} pour
 */
function rememberInvalid(pour) {
  const typed = Object.keys(errors.peek()).map((name) => {
    const [side, field] = /** @type {[Target, string]} */ (name.split('.'));
    return [name, values[side].peek()[field]];
  });
  // If this fails, the next save of a valid value shows the error.
  saveInvalidValues(pour.tasting, Object.fromEntries(typed)).catch(() => undefined);
  if (!pour.created && typed.length)
    openPour.set({ tasting: pour.tasting, step: currentStep.peek() }).catch(() => undefined);
}

/**
 * Validate fields and update the errors.
 * @param {Target} side
 * @param {Fields} fields
 * @returns {Fields} the valid ones
 */
export function withoutInvalid(side, fields) {
  const found = validateFields(side, fields);
  batch(() => {
    const left = { ...errors.peek() };
    for (const field of Object.keys(fields)) {
      const error = found[field]?.[0];
      if (error) left[`${side}.${field}`] = error;
      else delete left[`${side}.${field}`];
    }
    errors.value = left;
  });
  return Object.fromEntries(Object.entries(fields).filter(([field]) => !found[field]));
}
