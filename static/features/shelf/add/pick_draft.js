// A pick being written: every change is in the book at once, so that a dead phone loses nothing and nothing waits for a last button.
import { batch, computed, signal } from '../../../lib/ui.js';
import { validateFields } from '../../../store/validate.js';
import { timestamp } from '../../../lib/datetime.js';
import { bottlesByGtin } from '../../../store/queries.js';
import { newId, remove } from '../../../store/write.js';
import { offers } from '../../../domain/bottle/match_bottle.js';
import { enqueue, settled } from '../../../domain/pour/autosave_queue.js';
import { style as styleOf } from '../../../domain/styles.js';
import { defaults } from '../list/shelf_state.js';

/** @typedef {import('../../../store/record.js').Fields} Fields */
/** @typedef {import('../../../store/record.js').Row} Row */
/**
 * @typedef {object} Draft
 * @property {string} pick
 * @property {string} bottle
 * @property {boolean} known whether the bottle was in the book before
 * @property {boolean} begun whether anything is written
 */

export const draft = signal(/** @type {Draft | null} */ (null));
export const says = { bottle: signal(/** @type {Fields} */ ({})), pick: signal(/** @type {Fields} */ ({})) };
/** What cannot be kept as it stands, by field. */
export const faults = signal(/** @type {Record<string, { code: string, bound?: number }>} */ ({}));

/** Bottles of the book that the typed name may mean. @type {import('../../../lib/ui.js').Signal<Row[]>} */
export const known = signal(/** @type {Row[]} */ ([]));
export const offered = computed(() => (draft.value && !draft.value.known ? offers(known.value, says.bottle.value['name'], draft.value.bottle) : []));

/** What the draft before said, which the tables may not show yet when the next one is begun. @type {import('../list/shelf_state.js').Usual | null} */
let before = null;

export function begin() {
  const { shop, currency, label_market } = before ?? defaults.peek();
  batch(() => {
    draft.value = { pick: newId(), bottle: newId(), known: false, begun: false };
    says.bottle.value = { label_market };
    says.pick.value = { shop, currency };
    faults.value = {};
  });
}

/** @param {'bottle' | 'pick'} side @param {Fields} fields */
export function write(side, fields) {
  const now = draft.peek();
  if (!now) return;
  const told = side === 'bottle' ? { ...fields, ...fromStyle(fields) } : fields;
  says[side].value = { ...says[side].peek(), ...told };
  const sound = withoutFaults(side, told);
  if (!now.begun) draft.value = { ...now, begun: true };
  const { shop = null, currency = null } = says.pick.peek();
  before = { shop, currency, label_market: says.bottle.peek()['label_market'] ?? before?.label_market ?? null };
  const first = now.begun ? [] : [{ kind: /** @type {const} */ ('pick'), id: now.pick, fields: { ...says.pick.peek(), bottle: now.bottle, seen_at: timestamp(), state: 'open' } },
    ...(now.known ? [] : [{ kind: /** @type {const} */ ('bottle'), id: now.bottle, fields: { label_market: says.bottle.peek()['label_market'] ?? null } }])];
  enqueue([...first, { kind: side, id: side === 'bottle' ? now.bottle : now.pick, fields: sound }]);
}

/** The style says colour and kind too, unless they were said otherwise. @param {Fields} fields @returns {Fields} */
function fromStyle(fields) {
  if (!('style' in fields)) return {};
  const was = styleOf(says.bottle.peek()['style']);
  const now = styleOf(fields['style']);
  const follows = (/** @type {'colour' | 'kind'} */ field) => (says.bottle.peek()[field] ?? was?.[field] ?? null) === (was?.[field] ?? null);
  return { ...(follows('colour') ? { colour: now?.colour ?? null } : {}), ...(follows('kind') ? { kind: now?.kind ?? null } : {}) };
}

/**
 * A number on the glass: the bottle that the book knows by it, else it is noted for the next time.
 * @param {string} gtin 13 or 14 digits
 * @returns {Promise<boolean>} whether the book knows it
 */
export async function takeCode(gtin) {
  const [row] = await bottlesByGtin(gtin);
  if (row) await takeKnown(row);
  else write('bottle', { gtin });
  return Boolean(row);
}

/** The bottle is one that the book knows; what was begun for this pick alone is taken back. @param {Row} row */
export async function takeKnown(row) {
  const now = draft.peek();
  if (!now) return;
  draft.value = { ...now, bottle: row.id, known: true };
  says.bottle.value = { ...row.fields };
  write('pick', { bottle: row.id });
  await settled();
  if (now.begun && !now.known) await remove('bottle', now.bottle);
}

/** @param {'bottle' | 'pick'} side @param {Fields} fields @returns {Fields} */
function withoutFaults(side, fields) {
  const found = validateFields(side, fields);
  const left = { ...faults.peek() };
  for (const field of Object.keys(fields)) {
    const fault = found[field]?.[0];
    if (fault) left[field] = fault;
    else delete left[field];
  }
  faults.value = left;
  return Object.fromEntries(Object.entries(fields).filter(([field]) => !found[field]));
}
