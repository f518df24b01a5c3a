/**
 * One check a type of field. Types and codes are those of "Record shape" in webapp/sync/README.md.
 *
 * @typedef {{ code: string, bound?: number }} Fault
 * @typedef {{ type: string, min?: number, max?: number, of?: string }} Shape a field in record.json
 * @typedef {(value: unknown) => Fault | null} Check
 */
import aromas from '../spec/aromas.json' with { type: 'json' };
import hues from '../spec/hues.json' with { type: 'json' };
import styles from '../spec/styles.json' with { type: 'json' };
import { vocabularies } from './vocabularies.js';

const OWN_WORDS_MAX = 40;
const LONE_SURROGATE = /\p{Surrogate}/u;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
const MOMENT = /^([0-9-]{10})T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{1,9})?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])$/;

const hueIds = new Set(hues.hues.map((hue) => hue.id));
const styleIds = new Set(styles.styles.map((style) => style.style_id));
const aromaIds = new Set([...aromas.families.flatMap((family) => [family.id, ...family.words]), ...Object.keys(aromas.same_as)]);

/** @type {Record<string, (shape: Shape) => Check>} */
const makers = {
  text: (shape) => (value) => textFault(value, Number(shape.max)),
  number: (shape) => (value) => (typeof value !== 'number' || !Number.isFinite(value)
    ? { code: 'not_number' } : boundFault(value, shape)),
  integer: (shape) => (value) => (typeof value !== 'number' || !Number.isInteger(value)
    ? { code: 'not_integer' } : boundFault(value, shape)),
  flag: () => (value) => (typeof value === 'boolean' ? null : { code: 'not_flag' }),
  choice: (shape) => { const ids = idsOf(String(shape.of)); return (value) => choiceFault(value, ids); },
  choices: (shape) => { const ids = idsOf(String(shape.of)); return (value) => choicesFault(value, ids, Number(shape.max)); },
  style: () => (value) => choiceFault(value, styleIds),
  country: () => (value) => lettersFault(value, /^[A-Z]{2}$/),
  currency: () => (value) => lettersFault(value, /^[A-Z]{3}$/),
  date: () => (value) => (isDay(value) ? null : { code: 'not_date' }),
  moment: () => (value) => (isMoment(value) ? null : { code: 'not_moment' }),
  aromas: (shape) => (value) => aromasFault(value, Number(shape.max)),
  ref: () => refFault,
  refs: (shape) => (value) => listFault(value, Number(shape.max), refFault, (entry) => entry),
  gtin: () => gtinFault,
};

/** @param {Shape} shape @returns {Check} */
export function checkOfType(shape) {
  const maker = makers[shape.type];
  if (!maker) throw new Error(`static/spec/record.json names the type ${shape.type}, which has no check`);
  return maker(shape);
}

/** @param {string} name */
function idsOf(name) {
  if (name === 'hue') return hueIds;
  const ids = vocabularies[name];
  if (!ids) throw new Error(`static/spec/record.json names the vocabulary ${name}, which does not exist`);
  return new Set(ids);
}

/** @param {number} value @param {Shape} shape @returns {Fault | null} */
function boundFault(value, { min, max }) {
  if (min !== undefined && value < min) return { code: 'too_low', bound: min };
  if (max !== undefined && value > max) return { code: 'too_high', bound: max };
  return null;
}

/** @param {unknown} value @param {number} max code points @returns {Fault | null} */
function textFault(value, max) {
  if (typeof value !== 'string') return { code: 'not_text' };
  if (value.includes('\0') || LONE_SURROGATE.test(value)) return { code: 'bad_character' };
  const tooLong = value.length > max && [...value].length > max;
  return tooLong ? { code: 'too_long', bound: max } : null;
}

/** @param {unknown} value @param {Set<string>} ids @returns {Fault | null} */
function choiceFault(value, ids) {
  if (typeof value !== 'string') return { code: 'not_choice' };
  return ids.has(value) ? null : { code: 'unknown_choice' };
}

/** @param {unknown} value @param {RegExp} letters @returns {Fault | null} */
function lettersFault(value, letters) {
  if (typeof value !== 'string') return { code: 'not_choice' };
  return letters.test(value) ? null : { code: 'unknown_choice' };
}

/** @param {unknown} value @returns {Fault | null} */
function refFault(value) {
  return typeof value === 'string' && UUID.test(value) ? null : { code: 'not_id' };
}

/** @param {unknown} value @param {Set<string>} ids @param {number} max @returns {Fault | null} */
function choicesFault(value, ids, max) {
  return listFault(value, max, (entry) => choiceFault(entry, ids), (entry) => entry);
}

/** @param {unknown} value @param {number} max @returns {Fault | null} */
function aromasFault(value, max) {
  return listFault(value, max, aromaFault, (entry) => (entry.startsWith('~') ? entry : String(entry.split(':')[0])));
}

/** @param {unknown} entry `word`, `word:1`..`word:3` or `~own words` @returns {Fault | null} */
function aromaFault(entry) {
  if (typeof entry !== 'string') return { code: 'not_choice' };
  if (entry.startsWith('~')) {
    return entry.length === 1 ? { code: 'unknown_choice' } : textFault(entry.slice(1), OWN_WORDS_MAX);
  }
  const parts = /^([^:]*)(:[123])?$/.exec(entry);
  return parts && aromaIds.has(String(parts[1])) ? null : { code: 'unknown_choice' };
}

/**
 * @param {unknown} value
 * @param {number} max
 * @param {Check} entryFault
 * @param {(entry: string) => string} sameness what two entries may not have in common
 * @returns {Fault | null} the first one found
 */
function listFault(value, max, entryFault, sameness) {
  if (!Array.isArray(value)) return { code: 'not_list' };
  if (value.length > max) return { code: 'too_many', bound: max };
  /** @type {Set<string>} */
  const seen = new Set();
  for (const entry of value) {
    const fault = entryFault(entry);
    if (fault) return fault;
    if (seen.has(sameness(entry))) return { code: 'repeated' };
    seen.add(sameness(entry));
  }
  return null;
}

/** @param {unknown} value */
function isMoment(value) {
  const parts = typeof value === 'string' ? MOMENT.exec(value) : null;
  return parts !== null && isDay(parts[1]);
}

/** @param {unknown} value */
function isDay(value) {
  const parts = typeof value === 'string' ? /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(value) : null;
  if (!parts) return false;
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
  return year >= 1 && day >= 1 && day <= days;
}

/** GS1 General Specifications, check digit: weights 3 and 1 from the right. @param {unknown} value @returns {Fault | null} */
function gtinFault(value) {
  if (typeof value !== 'string' || !/^([0-9]{8}|[0-9]{12,14})$/.test(value)) return { code: 'not_gtin' };
  const digits = Array.from(value, Number).reverse();
  const sum = digits.reduce((total, digit, place) => total + digit * (place % 2 === 0 ? 1 : 3), 0);
  return sum % 10 === 0 ? null : { code: 'bad_check_digit' };
}
