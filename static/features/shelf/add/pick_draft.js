// The pick being entered. Every change is saved at once, so that nothing is lost if the app is
// closed.
import { batch, computed, effect, signal } from '../../../lib/ui.js';
import { validateFields } from '../../../store/validate.js';
import { timestamp } from '../../../lib/datetime.js';
import { bottleByGtin, referencesToBottle } from '../../../store/bottle_queries.js';
import { liveSignal } from '../../../store/queries.js';
import { newId } from '../../../store/write.js';
import { suggestBottles } from '../../../domain/bottle/match_bottle.js';
import { enqueue } from '../../../domain/pour/autosave_queue.js';
import { gainEdits, gainedFields } from '../../../domain/bottle/gained_fields.js';
import { styleFields } from '../../../domain/bottle/style_fields.js';
import { defaults } from '../list/shelf_state.js';

/** @typedef {import('../../../store/record.js').Fields} Fields */
/** @typedef {import('../../../store/record.js').Row} Row */
/**
 * @typedef {object} Draft
 * @property {string} pick
 * @property {string} bottle
 * @property {boolean} known whether the bottle existed before
 * @property {boolean} created whether anything was saved
 */

export const pickDraft = signal(/** @type {Draft | null} */ (null));
export const values = { bottle: signal(/** @type {Fields} */ ({})), pick: signal(/** @type {Fields} */ ({})) };
/** Errors of values that cannot be saved, by field. */
export const errors = signal(/** @type {Record<string, { code: string, bound?: number }>} */ ({}));

/** @typedef {import('../../../domain/bottle/all_bottles.js').KnownBottle} KnownBottle */

/** All bottles, for suggestions by name. */
export const knownBottles = signal(/** @type {KnownBottle[]} */ ([]));
export const suggestions = computed(() =>
  pickDraft.value && !pickDraft.value.known
    ? suggestBottles(knownBottles.value, values.bottle.value['name'], pickDraft.value.bottle)
    : [],
);

const bottleOfDraft = computed(() => pickDraft.value?.bottle ?? null);
const followed = computed(() => {
  const bottle = bottleOfDraft.value;
  return bottle ? liveSignal(() => referencesToBottle(bottle), /** @type {Row[]} */ ([])) : null;
});
/** What refers to the bottle, read before the tap: a page that is closed loses an edit that waits for a read. */
let references = /** @type {Row[]} */ ([]);
effect(() => {
  references = followed.value?.value ?? [];
});

/**
 * Defaults from the previous draft, which may not be saved yet when the next one starts.
 * @type {import('../list/shelf_state.js').Usual | null}
 */
let before = null;

export function startDraft() {
  const usual = defaults.peek();
  const { shop, label_market } = before ?? usual;
  // The settings may have got one since.
  const currency = before?.currency ?? usual.currency;
  batch(() => {
    pickDraft.value = { pick: newId(), bottle: newId(), known: false, created: false };
    values.bottle.value = { label_market };
    values.pick.value = { shop, currency };
    errors.value = {};
  });
}

/**
 * @param {'bottle' | 'pick'} side
 * @param {Fields} fields
 * @param {import('../../../domain/pour/autosave_queue.js').Change[]} [also] saved in the same commit
 */
export function setDraftFields(side, fields, also = []) {
  const now = pickDraft.peek();
  if (!now) return;
  const ofStyle = side === 'bottle' && 'style' in fields ? styleFields(values.bottle.peek(), fields['style']) : null;
  const filled = ofStyle ? { ...ofStyle, ...fields, style: ofStyle['style'] } : fields;
  values[side].value = { ...values[side].peek(), ...filled };
  const valid = withoutInvalid(side, filled);
  if (!now.created) pickDraft.value = { ...now, created: true };
  const { shop = null, currency = null } = values.pick.peek();
  before = { shop, currency, label_market: values.bottle.peek()['label_market'] ?? before?.label_market ?? null };
  const first = now.created
    ? []
    : [
        {
          kind: /** @type {const} */ ('pick'),
          id: now.pick,
          fields: { ...values.pick.peek(), bottle: now.bottle, seen_at: timestamp(), state: 'open' },
        },
        ...(now.known
          ? []
          : [
              {
                kind: /** @type {const} */ ('bottle'),
                id: now.bottle,
                fields: { label_market: values.bottle.peek()['label_market'] ?? null },
              },
            ]),
      ];
  enqueue([...first, { kind: side, id: side === 'bottle' ? now.bottle : now.pick, fields: valid }, ...also]);
}

/**
 * Show and save a typed name, and the style that it tells for certain, as in a list.
 * @param {string | null} name
 */
export async function typeName(name) {
  const before = values.bottle.peek()['name'];
  const { bottle, known } = pickDraft.peek() ?? {};
  setDraftFields('bottle', { name });
  const { followedStyle } = await import('../../../domain/bottle/certain_style.js');
  if (known || pickDraft.peek()?.bottle !== bottle) return;
  const style = followedStyle(values.bottle.peek(), before, name);
  if (style !== undefined) setDraftFields('bottle', { style });
}

/**
 * Use the bottle with this barcode; if there is none, save the barcode with the new bottle.
 * @param {string} gtin 13 or 14 digits
 * @returns {Promise<boolean>} whether the bottle is known
 */
export async function applyBarcode(gtin) {
  const row = await bottleByGtin(gtin);
  if (row) useExisting(row);
  else setDraftFields('bottle', { gtin });
  return Boolean(row);
}

/**
 * Link the pick to a known bottle, and delete the bottle created for this pick if nothing else uses it. Its photos go
 * with the pick, and what the known bottle lacks to that.
 * @param {Row} row
 */
export function useExisting(row) {
  const now = pickDraft.peek();
  if (!now || now.bottle === row.id) return;
  const others = references.filter(({ id }) => id !== now.pick);
  const isFree = now.created && !now.known && others.every(({ kind }) => kind === 'photo');
  const typed = values.bottle.peek();
  const valid = Object.fromEntries(Object.entries(typed).filter(([field]) => !errors.peek()[field]));
  const gained = isFree ? gainedFields(row.fields, valid) : {};
  pickDraft.value = { ...now, bottle: row.id, known: true };
  values.bottle.value = { ...row.fields, ...gained };
  setDraftFields(
    'pick',
    { bottle: row.id },
    isFree
      ? [
          ...others.map(({ kind, id }) => ({ kind, id, fields: { bottle: row.id } })),
          { kind: 'bottle', id: now.bottle, fields: {}, deleted: true },
          ...gainEdits(row.id, gained),
        ]
      : [],
  );
}

/** @param {'bottle' | 'pick'} side @param {Fields} fields @returns {Fields} */
function withoutInvalid(side, fields) {
  const found = validateFields(side, fields);
  const left = { ...errors.peek() };
  for (const field of Object.keys(fields)) {
    const error = found[field]?.[0];
    if (error) left[field] = error;
    else delete left[field];
  }
  errors.value = left;
  return Object.fromEntries(Object.entries(fields).filter(([field]) => !found[field]));
}
