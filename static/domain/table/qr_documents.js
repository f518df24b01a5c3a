/**
 * What is exchanged by QR codes where there is no network: a flight, from the leader to the guests, and sheets, from a
 * guest to the leader. Labels are never in them. Pure.
 */
import { validateFields } from '../../store/validate.js';
import { isId } from '../../store/validators.js';
import { areLabelsHidden } from './covered.js';
import { thinned } from './noted_times.js';
import { areGuessesAsked, fieldsOfStep, inOrder } from './steps.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {import('./noted_times.js').Entry} Entry */
/** @typedef {import('./noted_times.js').FlightClocks} FlightClocks */
/** @typedef {{ id: string, mark: string | null }} FlightGlass */
/** @typedef {{ agreed: boolean, ms: number }} Consent to be remembered as a person, by the guest's clock */

const VERSION = 1;
const MAX_SCANNED_GLASSES = 40;
const NAME_LENGTH = 60;
const TEXT_LENGTH = 400;
/** Values of one field that are read. */
const MAX_VALUES = 10;

/**
 * @param {string} id
 * @param {Fields} fields of the group tasting
 * @param {FlightGlass[]} glasses in the order of tasting
 * @param {number} [made_ms] the leader's clock
 * @returns {Fields} for `framesOf`
 */
export function flightDocument(id, fields, glasses, made_ms) {
  const steps = inOrder(fields['steps']);
  const guidance = steps.flatMap((step) => (fields[`guidance_${step}`] ? [[step, fields[`guidance_${step}`]]] : []));
  return {
    kind: 'flight',
    version: VERSION,
    table: id,
    name: fields['name'] ?? null,
    leader: fields['leader_name'] ?? null,
    steps,
    made_ms,
    led: fields['pace'] !== 'free',
    hidden: areLabelsHidden(fields),
    named: fields['names_shown'] === true,
    guesses: areGuessesAsked(fields),
    guidance: Object.fromEntries(guidance),
    glasses: glasses.map((glass) => [glass.id, glass.mark]),
  };
}

/**
 * @param {any} document as read from codes, which anybody may have made
 * @param {number} [read_ms] the guest's clock
 * @returns {Fields | null} the guest's view of the table, as `GET /api/guests/table` returns it, and `flight`: the
 *   clocks when it was made and read, and whether the leader leads from step to step; null if it is none
 */
export function viewOfFlight(document, read_ms) {
  if (document?.kind !== 'flight' || document.version !== VERSION || !isId(document.table)) return null;
  const glasses = Array.isArray(document.glasses) ? document.glasses : [];
  const isSound = glasses.length > 0 && glasses.length <= MAX_SCANNED_GLASSES;
  if (!isSound || !glasses.every((/** @type {any} */ glass) => Array.isArray(glass) && isId(glass[0]))) return null;
  const steps = Array.isArray(document.steps) ? document.steps : null;
  return {
    table: {
      id: document.table,
      name: textOf(document.name, 120),
      leader_name: textOf(document.leader, NAME_LENGTH),
      steps: inOrder(steps),
      pace: 'free',
      open_glass: null,
      open_step: null,
      labels_hidden: document.hidden === true,
      names_shown: document.named === true,
      ask_guesses: document.guesses !== false,
      guidance: guidanceOf(document.guidance),
      ended_at: null,
      keeps_days: null,
    },
    glasses: glasses.map((/** @type {[string, unknown]} */ [id, mark], /** @type {number} */ at) => ({
      id,
      mark: textOf(mark, 20),
      position: at + 1,
      closed: {},
      discussed: false,
      uncovered: false,
    })),
    sheets: {},
    flight: {
      is_led: document.led === true,
      ...(isMs(document.made_ms) && isMs(read_ms) ? { leader_ms: document.made_ms, guest_ms: read_ms } : {}),
    },
  };
}

/** @param {any} texts @returns {Record<string, string>} */
function guidanceOf(texts) {
  const pairs = Object.entries(texts && typeof texts === 'object' ? texts : {});
  return Object.fromEntries(pairs.flatMap(([step, text]) => (textOf(text, TEXT_LENGTH) ? [[step, String(text)]] : [])));
}

/**
 * @typedef {Object} OwnSheet what a guest noted for a glass
 * @property {string} glass
 * @property {Fields} fields
 * @property {Map<string, Entry[]>} entries by field, oldest first, with null where an answer was removed
 *
 * @param {string} table
 * @param {{ id: string, name: string }} guest
 * @param {OwnSheet[]} sheets
 * @param {{ now_ms: number, flight?: Partial<FlightClocks> | null, consent?: Consent | null | undefined }} more
 *   the guest's clock, those of the flight, and what the guest decided about being remembered
 * @returns {Fields} for `framesOf`; `noted` has how long ago each value was noted, in ms
 */
export function sheetsDocument(table, guest, sheets, { now_ms, flight, consent }) {
  const filled = sheets.map(({ glass, fields }) => [
    glass,
    Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null && value !== undefined)),
  ]);
  const noted = sheets.map(({ glass, entries }) => [
    glass,
    Object.fromEntries(
      [...entries].map(([field, all]) => [field, thinned(all).map(({ value, ms }) => [now_ms - ms, value])]),
    ),
  ]);
  return {
    kind: 'sheets',
    version: VERSION,
    table,
    guest: guest.id,
    name: guest.name,
    flight: flight?.leader_ms ? [flight.leader_ms, flight.guest_ms] : undefined,
    shown_ms: now_ms,
    consent: consent ? [consent.agreed, now_ms - consent.ms] : undefined,
    sheets: Object.fromEntries(filled),
    noted: Object.fromEntries(noted),
  };
}

/**
 * @typedef {Object} ScannedSheets
 * @property {string} table
 * @property {string} guest
 * @property {string} name
 * @property {Map<string, Map<string, Entry[]>>} sheets values by glass and field, oldest first; without a known time
 *   they count as noted now, as on the server
 * @property {FlightClocks | null} flight
 * @property {number | null} shown_ms
 * @property {Consent | null} consent null where the guest has decided nothing
 * @property {number} refused number of values that are not allowed
 *
 * @param {any} document as read from codes, which anybody may have made
 * @returns {ScannedSheets | null} null if it has no sheets
 */
export function readSheets(document) {
  if (document?.kind !== 'sheets' || document.version !== VERSION) return null;
  if (!isId(document.table) || !isId(document.guest) || !isObject(document.sheets)) return null;
  const shown_ms = isMs(document.shown_ms) ? document.shown_ms : null;
  const [leader_ms, guest_ms] = Array.isArray(document.flight) ? document.flight : [];
  const flight = isMs(leader_ms) && isMs(guest_ms) ? { leader_ms, guest_ms } : null;
  let refused = 0;
  const sheets = Object.entries(document.sheets).flatMap(([glass, fields]) => {
    if (!isId(glass) || !isObject(fields)) return [];
    const noted = isObject(document.noted) && isObject(document.noted[glass]) ? document.noted[glass] : {};
    const read = readFields(fields, noted, shown_ms);
    refused += read.refused;
    return [/** @type {const} */ ([glass, read.fields])];
  });
  const name = textOf(document.name, NAME_LENGTH) ?? '';
  const { table, guest } = document;
  const consent = consentOf(document.consent, shown_ms);
  return { table, guest, name, sheets: new Map(sheets), flight, shown_ms, consent, refused };
}

/** @param {any} given @param {number | null} shown_ms @returns {Consent | null} */
function consentOf(given, shown_ms) {
  const [agreed, age_ms] = Array.isArray(given) ? given : [];
  return typeof agreed === 'boolean' && isAge(age_ms) && shown_ms !== null ? { agreed, ms: shown_ms - age_ms } : null;
}

/** @param {unknown} value @returns {value is number} */
function isAge(value) {
  return Number.isSafeInteger(value) && Number(value) >= 0;
}

const ASKED = new Set(inOrder(null).flatMap(fieldsOfStep));

/**
 * @param {Fields} fields the last values
 * @param {Fields} noted by field, [age in ms, value] of each value
 * @param {number | null} shown_ms
 */
function readFields(fields, noted, shown_ms) {
  /** @type {Map<string, Entry[]>} */
  const found = new Map();
  let refused = 0;
  for (const field of new Set([...Object.keys(fields), ...Object.keys(noted)])) {
    const timed = shown_ms === null ? [] : entriesOf(noted[field], shown_ms);
    const entries = timed.length ? timed : [{ value: fields[field] ?? null, ms: Infinity }];
    const sound = ASKED.has(field) ? entries.filter(({ value }) => isSound(field, value)) : [];
    refused += entries.length - sound.length;
    if (sound.length) found.set(field, sound);
  }
  return { fields: found, refused };
}

/** @param {unknown} noted @param {number} shown_ms @returns {Entry[]} */
function entriesOf(noted, shown_ms) {
  return (Array.isArray(noted) ? noted.slice(0, MAX_VALUES) : []).flatMap((one) =>
    Array.isArray(one) && Number.isFinite(one[0]) ? [{ value: one[1] ?? null, ms: shown_ms - one[0] }] : [],
  );
}

/** @param {string} field @param {any} value */
function isSound(field, value) {
  return value === null || !(field in validateFields('sheet', { [field]: value }));
}

/** @param {unknown} value @returns {value is number} */
function isMs(value) {
  return Number.isSafeInteger(value) && Number(value) > 0;
}

/** @param {unknown} value @returns {value is Fields} */
export function isObject(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** @param {unknown} value @param {number} max @returns {string | null} */
function textOf(value, max) {
  const text = typeof value === 'string' ? value.trim() : '';
  return text && !validateFields('group_tasting', { name: text.slice(0, 120) })['name'] ? text.slice(0, max) : null;
}
