/**
 * Validators by field type. Types and codes are listed under "Record shape" in
 * webapp/sync/README.md.
 *
 * @typedef {{ code: string, bound?: number }} FieldError
 * @typedef {{ type: string, min?: number, max?: number, of?: string }} Shape a field in record.json
 * @typedef {(value: unknown) => FieldError | null} Check
 */
import aromas from '../spec/aromas.json' with { type: 'json' };
import hues from '../spec/hues.json' with { type: 'json' };
import styles from '../spec/styles.json' with { type: 'json' };
import { vocabularies } from './vocabularies.js';

/** Maximum length of a custom aroma in code points. */
export const CUSTOM_AROMA_MAX = 40;
const UNPAIRED_SURROGATE = /\p{Surrogate}/u;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
const TIMESTAMP =
  /^([0-9-]{10})T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]{1,9})?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])$/;

const hueIds = new Set(hues.hues.map((hue) => hue.id));
const styleIds = new Set(styles.styles.map((style) => style.style_id));
const aromaIds = new Set([
  ...aromas.families.flatMap((family) => [family.id, ...family.words]),
  ...Object.keys(aromas.same_as),
]);

/** @type {Record<string, (shape: Shape) => Check>} */
const validatorFactories = {
  text: (shape) => (value) => textError(value, Number(shape.max)),
  number: (shape) => (value) =>
    typeof value !== 'number' || !Number.isFinite(value) ? { code: 'not_number' } : boundError(value, shape),
  integer: (shape) => (value) =>
    typeof value !== 'number' || !Number.isInteger(value) ? { code: 'not_integer' } : boundError(value, shape),
  flag: () => (value) => (typeof value === 'boolean' ? null : { code: 'not_flag' }),
  choice: (shape) => {
    const ids = idsOf(String(shape.of));
    return (value) => choiceError(value, ids);
  },
  choices: (shape) => {
    const ids = idsOf(String(shape.of));
    return (value) => choicesError(value, ids, Number(shape.max));
  },
  style: () => (value) => choiceError(value, styleIds),
  country: () => (value) => lettersError(value, /^[A-Z]{2}$/),
  currency: () => (value) => lettersError(value, /^[A-Z]{3}$/),
  date: () => (value) => (isDay(value) ? null : { code: 'not_date' }),
  moment: () => (value) => (isTimestamp(value) ? null : { code: 'not_moment' }),
  graded: (shape) => {
    const ids = idsOf(String(shape.of));
    return (value) => listError(value, Number(shape.max), (entry) => gradedError(entry, ids), withoutStrength);
  },
  aromas: (shape) => (value) => aromasError(value, Number(shape.max)),
  ref: () => refError,
  refs: (shape) => (value) => listError(value, Number(shape.max), refError, (entry) => entry),
  gtin: () => gtinError,
};

/** @param {Shape} shape @returns {Check} */
export function validatorFor(shape) {
  const maker = validatorFactories[shape.type];
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

/** @param {number} value @param {Shape} shape @returns {FieldError | null} */
function boundError(value, { min, max }) {
  if (min !== undefined && value < min) return { code: 'too_low', bound: min };
  if (max !== undefined && value > max) return { code: 'too_high', bound: max };
  return null;
}

/**
 * @param {unknown} value
 * @param {number} max code points
 * @returns {FieldError | null}
 */
function textError(value, max) {
  if (typeof value !== 'string') return { code: 'not_text' };
  if (value.includes('\0') || UNPAIRED_SURROGATE.test(value)) return { code: 'bad_character' };
  const tooLong = value.length > max && [...value].length > max;
  return tooLong ? { code: 'too_long', bound: max } : null;
}

/** @param {unknown} value @param {Set<string>} ids @returns {FieldError | null} */
function choiceError(value, ids) {
  if (typeof value !== 'string') return { code: 'not_choice' };
  return ids.has(value) ? null : { code: 'unknown_choice' };
}

/** @param {unknown} value @param {RegExp} letters @returns {FieldError | null} */
function lettersError(value, letters) {
  if (typeof value !== 'string') return { code: 'not_choice' };
  return letters.test(value) ? null : { code: 'unknown_choice' };
}

/** @param {unknown} value @returns {value is string} */
export function isId(value) {
  return typeof value === 'string' && UUID.test(value);
}

/** @param {unknown} value @returns {FieldError | null} */
function refError(value) {
  return isId(value) ? null : { code: 'not_id' };
}

/**
 * @param {unknown} value
 * @param {Set<string>} ids
 * @param {number} max
 * @returns {FieldError | null}
 */
function choicesError(value, ids, max) {
  return listError(
    value,
    max,
    (entry) => choiceError(entry, ids),
    (entry) => entry,
  );
}

/** @param {unknown} value @param {number} max @returns {FieldError | null} */
function aromasError(value, max) {
  return listError(value, max, aromaError, (entry) => (entry.startsWith('~') ? entry : withoutStrength(entry)));
}

/** @param {string} entry */
const withoutStrength = (entry) => String(entry.split(':')[0]);

/**
 * @param {unknown} entry `word`, `word:1`..`word:3` or `~custom text`
 * @returns {FieldError | null}
 */
function aromaError(entry) {
  if (typeof entry !== 'string') return { code: 'not_choice' };
  if (entry.startsWith('~')) {
    return entry.length === 1 ? { code: 'unknown_choice' } : textError(entry.slice(1), CUSTOM_AROMA_MAX);
  }
  return gradedError(entry, aromaIds);
}

/** @param {unknown} entry `id` or `id:1`..`id:3` @param {Set<string>} ids @returns {FieldError | null} */
function gradedError(entry, ids) {
  if (typeof entry !== 'string') return { code: 'not_choice' };
  const parts = /^([^:]*)(:[123])?$/.exec(entry);
  return parts && ids.has(String(parts[1])) ? null : { code: 'unknown_choice' };
}

/**
 * @param {unknown} value
 * @param {number} max
 * @param {Check} entryError
 * @param {(entry: string) => string} identity key that must differ between entries
 * @returns {FieldError | null} the first error
 */
function listError(value, max, entryError, identity) {
  if (!Array.isArray(value)) return { code: 'not_list' };
  if (value.length > max) return { code: 'too_many', bound: max };
  /** @type {Set<string>} */
  const seen = new Set();
  for (const entry of value) {
    const error = entryError(entry);
    if (error) return error;
    if (seen.has(identity(entry))) return { code: 'repeated' };
    seen.add(identity(entry));
  }
  return null;
}

/** @param {unknown} value */
function isTimestamp(value) {
  const parts = typeof value === 'string' ? TIMESTAMP.exec(value) : null;
  return parts !== null && isDay(parts[1]);
}

/** @param {unknown} value */
function isDay(value) {
  const parts = typeof value === 'string' ? /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(value) : null;
  if (!parts) return false;
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  const isLeapYear = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = [31, isLeapYear ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
  return year >= 1 && day >= 1 && day <= days;
}

/**
 * Check a GTIN's check digit (GS1 General Specifications): weights 3 and 1 from the right.
 * @param {unknown} value
 * @returns {FieldError | null}
 */
function gtinError(value) {
  if (typeof value !== 'string' || !/^([0-9]{8}|[0-9]{12,14})$/.test(value)) return { code: 'not_gtin' };
  const digits = Array.from(value, Number).reverse();
  const sum = digits.reduce((total, digit, place) => total + digit * (place % 2 === 0 ? 1 : 3), 0);
  return sum % 10 === 0 ? null : { code: 'bad_check_digit' };
}
