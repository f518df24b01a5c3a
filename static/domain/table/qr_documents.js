/**
 * What is exchanged by QR codes where there is no network: a flight, from the leader to the guests, and sheets, from a
 * guest to the leader. Labels are never in them. Pure.
 */
import { validateFields } from '../../store/validate.js';
import { fieldsOfStep, inOrder } from './steps.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {{ id: string, mark: string | null }} FlightGlass */

const VERSION = 1;
const MAX_GLASSES = 40;
const NAME_LENGTH = 60;
const TEXT_LENGTH = 400;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/**
 * @param {string} id
 * @param {Fields} fields of the group tasting
 * @param {FlightGlass[]} glasses in the order of tasting
 * @returns {Fields} for `framesOf`
 */
export function flightDocument(id, fields, glasses) {
  const steps = inOrder(fields['steps']);
  const guidance = steps.flatMap((step) => (fields[`guidance_${step}`] ? [[step, fields[`guidance_${step}`]]] : []));
  return {
    kind: 'flight',
    version: VERSION,
    table: id,
    name: fields['name'] ?? null,
    leader: fields['leader_name'] ?? null,
    steps,
    hidden: fields['labels_hidden'] === true,
    named: fields['names_shown'] === true,
    guesses: fields['ask_guesses'] !== false,
    guidance: Object.fromEntries(guidance),
    glasses: glasses.map((glass) => [glass.id, glass.mark]),
  };
}

/**
 * @param {any} document as read from codes, which anybody may have made
 * @returns {Fields | null} the guest's view of the table, as `GET /api/guests/table` returns it; null if it is none
 */
export function viewOfFlight(document) {
  if (document?.kind !== 'flight' || document.version !== VERSION || !isId(document.table)) return null;
  const glasses = Array.isArray(document.glasses) ? document.glasses : [];
  const isSound = glasses.length > 0 && glasses.length <= MAX_GLASSES;
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
  };
}

/** @param {any} texts @returns {Record<string, string>} */
function guidanceOf(texts) {
  const pairs = Object.entries(texts && typeof texts === 'object' ? texts : {});
  return Object.fromEntries(pairs.flatMap(([step, text]) => (textOf(text, TEXT_LENGTH) ? [[step, String(text)]] : [])));
}

/**
 * @param {string} table
 * @param {{ id: string, name: string }} guest
 * @param {[string, Fields][]} sheets answers by glass
 * @returns {Fields} for `framesOf`
 */
export function sheetsDocument(table, guest, sheets) {
  const filled = sheets.map(([glass, fields]) => [
    glass,
    Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null && value !== undefined)),
  ]);
  return {
    kind: 'sheets',
    version: VERSION,
    table,
    guest: guest.id,
    name: guest.name,
    sheets: Object.fromEntries(filled),
  };
}

/**
 * @typedef {{ table: string, guest: string, name: string, sheets: Map<string, Fields>, refused: number }} ScannedSheets
 *   refused: number of values that are not allowed
 *
 * @param {any} document as read from codes, which anybody may have made
 * @returns {ScannedSheets | null} null if it has no sheets
 */
export function readSheets(document) {
  if (document?.kind !== 'sheets' || document.version !== VERSION) return null;
  if (!isId(document.table) || !isId(document.guest) || !isObject(document.sheets)) return null;
  const asked = new Set(inOrder(null).flatMap(fieldsOfStep));
  let refused = 0;
  const sheets = Object.entries(document.sheets).flatMap(([glass, fields]) => {
    if (!isId(glass) || !isObject(fields)) return [];
    const known = Object.entries(fields).filter(([field]) => asked.has(field));
    const errors = validateFields('sheet', Object.fromEntries(known));
    const sound = known.filter(([field, value]) => !(field in errors) && value !== null);
    refused += Object.keys(fields).length - sound.length;
    return [/** @type {const} */ ([glass, Object.fromEntries(sound)])];
  });
  const name = textOf(document.name, NAME_LENGTH) ?? '';
  return { table: document.table, guest: document.guest, name, sheets: new Map(sheets), refused };
}

/** @param {unknown} value @returns {value is string} */
function isId(value) {
  return typeof value === 'string' && UUID.test(value);
}

/** @param {unknown} value @returns {value is Fields} */
function isObject(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** @param {unknown} value @param {number} max @returns {string | null} */
function textOf(value, max) {
  const text = typeof value === 'string' ? value.trim() : '';
  return text && !validateFields('group_tasting', { name: text.slice(0, 120) })['name'] ? text.slice(0, max) : null;
}
