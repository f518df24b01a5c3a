// What a photo of a label offers for a bottle, next to what the bottle has, and the fields that a choice writes.
import record from '../../spec/record.json' with { type: 'json' };
import { gtinInStore, gtinNormal, gtinValid } from '../../rules/label/product_codes.js';
import { plainText } from '../../lib/plain_text.js';
import { validateFields } from '../../store/validate.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('./reader.js').Box} Box */
/** @typedef {import('./reader.js').Line} Line */
/** @typedef {import('./reader.js').Proposal} Proposal */
/**
 * @typedef {object} Offer
 * @property {number} id
 * @property {string} field of the bottle
 * @property {any} value
 * @property {string} text as it was read
 * @property {Box | null} box
 * @property {any} before what the bottle has there; null for nothing, or where the value is added to it
 * @property {boolean} isSure
 */

const shapes = /** @type {Record<string, { type: string, max?: number }>} */ (record.kinds.bottle.fields);
/** Fields that the list of lines fills. */
const NAMES = ['name', 'producer'];
/** Words without a field of their own, such as Riserva, are kept with the words about the bottle. */
const REST = 'words';
/** A range of alcohol is one offer with both ends. */
export const RANGE = 'label_abv_range';
const MIN_LETTERS = 3;
/** A line of less confidence was read from a pattern, not from print. */
const READABLE = 0.4;
/** Words of the statements of alcohol and contents. */
const NO_NAME = /(?<!\p{L})(?:alc(?:ohol|ool|ol)?|alk(?:ohol)?|by|vol(?:ume)?|t\.?a\.?v|abv|[mc]l|to|bis)(?!\p{L})/giu;

/**
 * @param {{ proposals: Proposal[], barcode: string | null, barcodeBox?: Box | null }} read
 * @param {Fields} bottle
 * @returns {{ offers: Offer[], known: Offer[] }} known: what the bottle has already
 */
export function offersOf({ proposals, barcode, barcodeBox = null }, bottle) {
  const found = proposals
    .filter(({ field }) => !NAMES.includes(field))
    .map(({ field, value, text, box, sure }) =>
      field in shapes
        ? { field, value, text, box, isSure: sure }
        : { field: REST, value: String(value), text, box, isSure: sure },
    );
  if (barcode && gtinValid(barcode) && !gtinInStore(barcode))
    found.push({
      field: 'gtin',
      value: gtinNormal(barcode),
      text: barcode,
      box: /** @type {any} */ (barcodeBox),
      isSure: true,
    });
  const all = withRange(found)
    .map((offer) => ({ ...offer, value: asStored(offer.field, offer.value) }))
    .filter(({ field, value }) => Object.keys(validateFields('bottle', written(field, value))).length === 0)
    .map((offer, id) => ({ ...offer, id, before: isAdded(offer.field) ? null : currentOf(offer.field, bottle) }));
  const isKnown = (/** @type {Offer} */ { field, value }) => hasValue(currentOf(field, bottle), value, field);
  return { offers: all.filter((offer) => !isKnown(offer)), known: all.filter(isKnown) };
}

/**
 * Join the two ends of a range.
 * @template {{ field: string, value: any }} T
 * @param {T[]} found
 * @returns {T[]}
 */
function withRange(found) {
  const low = found.find(({ field }) => field === 'label_abv_low');
  const high = found.find(({ field }) => field === 'label_abv_high');
  if (!low || !high) return found;
  const others = found.filter((offer) => offer !== low && offer !== high);
  return [{ ...low, field: RANGE, value: [low.value, high.value] }, ...others];
}

/** Return the fields that an offer writes. @param {string} field @param {any} value @returns {Fields} */
function written(field, value) {
  return field === RANGE ? { label_abv_low: value[0], label_abv_high: value[1] } : { [field]: value };
}

/** Return what the bottle has; its alcohol is one number or a range. @param {string} field @param {Fields} bottle */
function currentOf(field, bottle) {
  if (field !== 'label_abv' && field !== RANGE) return bottle[field] ?? null;
  const { label_abv: one = null, label_abv_low: low = null, label_abv_high: high = null } = bottle;
  return one ?? (low !== null && high !== null ? [low, high] : null);
}

/** @param {string} field @param {any} value */
function asStored(field, value) {
  return shapes[field]?.type === 'choices' && !Array.isArray(value) ? [value] : value;
}

/** Tell whether a value is added to those that the bottle has. @param {string} field */
function isAdded(field) {
  return field === REST || shapes[field]?.type === 'choices';
}

/** @param {any} has @param {any} value @param {string} field */
function hasValue(has, value, field) {
  if (has === null || has === undefined) return false;
  if (Array.isArray(value)) return Array.isArray(has) && value.every((each) => has.includes(each));
  return field === REST ? plainText(has).includes(plainText(value)) : has === value;
}

/**
 * Return the offers that are ticked at first: the sure ones, one of each field, none that would replace a value.
 * @param {Offer[]} offers
 * @returns {number[]}
 */
export function firstTicks(offers) {
  const taken = new Set();
  return offers.flatMap(({ id, field, isSure, before }) => {
    if (!isSure || before !== null || (taken.has(field) && !isAdded(field))) return [];
    taken.add(field);
    return [id];
  });
}

/**
 * Tick or untick an offer; another value of the same field is unticked.
 * @param {Offer[]} offers
 * @param {number[]} ticked
 * @param {Offer} offer
 * @returns {number[]}
 */
export function toggled(offers, ticked, offer) {
  if (ticked.includes(offer.id)) return ticked.filter((id) => id !== offer.id);
  const others = offers.filter(({ field }) => field === offer.field && !isAdded(field)).map(({ id }) => id);
  return [...ticked.filter((id) => !others.includes(id)), offer.id];
}

/**
 * Return the fields to write.
 * @param {Offer[]} chosen
 * @param {{ name: string, producer: string }} names empty where no line was chosen
 * @param {Fields} bottle
 * @returns {Fields}
 */
export function fieldsOf(chosen, names, bottle) {
  /** @type {Fields} */
  const fields = {};
  for (const { field, value } of chosen) {
    const has = fields[field] ?? bottle[field];
    if (field === REST) fields[field] = [has, value].filter(Boolean).join('\n');
    else
      Object.assign(
        fields,
        isAdded(field) ? { [field]: [...new Set([...(has ?? []), ...value])] } : written(field, value),
      );
  }
  for (const other of otherAlcohol(fields)) if (bottle[other]) fields[other] = null;
  if (fields['vintage'] && bottle['non_vintage']) fields['non_vintage'] = null;
  if (fields['non_vintage'] && bottle['vintage']) fields['vintage'] = null;
  for (const [field, text] of Object.entries(names)) if (text) fields[field] = text.slice(0, shapes[field]?.max);
  return fields;
}

/** Return the fields of the alcohol that what is written replaces. @param {Fields} fields */
function otherAlcohol(fields) {
  if (fields['label_abv']) return ['label_abv_low', 'label_abv_high'];
  return fields['label_abv_low'] ? ['label_abv'] : [];
}

/**
 * Return the lines that may be a name: readable, with letters besides the alcohol and the contents, neither the
 * statement of the country nor bars of a barcode; the largest print first.
 * @param {{ lines: Line[], proposals?: Proposal[], barcodeBox?: Box | null }} read
 * @returns {Line[]}
 */
export function nameLines({ lines, proposals = [], barcodeBox = null }) {
  const others = proposals.filter(({ field }) => field === 'country').map(({ box }) => box);
  if (barcodeBox) others.push(barcodeBox);
  return lines
    .filter(({ text }) => (text.replace(NO_NAME, ' ').match(/\p{L}/gu) ?? []).length >= MIN_LETTERS)
    .filter(({ confidence, box }) => confidence >= READABLE && !others.some((other) => isWithin(other, box)))
    .sort((a, b) => b.box.height - a.box.height);
}

/** Tell whether the middle of a line lies in a box. @param {Box} outer @param {Box} line */
function isWithin({ x, y, width, height }, line) {
  const [middleX, middleY] = [line.x + line.width / 2, line.y + line.height / 2];
  return middleX >= x && middleX <= x + width && middleY >= y && middleY <= y + height;
}
