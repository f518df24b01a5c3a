/**
 * A person who is carried to another notebook by QR codes: name, agreement, and what they noted of which wine. Not
 * their words and guesses, and nothing of other guests. Pure.
 */
import { validateFields } from '../../store/validate.js';
import { isId } from '../../store/validators.js';
import { resolveBottle } from '../bottle_names.js';
import { isObject } from './qr_documents.js';
import { sheetId } from './sheet_id.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {import('./person_records.js').PersonRecords} PersonRecords */
/** @typedef {{ kind: import('../../store/write.js').Kind, id: string, fields: Fields }} Edit */

const VERSION = 1;
/** The newest answers; more would be too many codes to be scanned. */
export const MAX_CARRIED = 36;

const SCALES = ['sweetness', 'acidity', 'tannin', 'body', 'warmth', 'oak', 'intensity'];
const SHEET_FIELDS = ['tasted_at', 'liking', 'left_out', ...SCALES, ...SCALES.map((scale) => `just_right_${scale}`)];
const BOTTLE_FIELDS = [
  ...['name', 'producer', 'vintage', 'non_vintage', 'style', 'grapes', 'region', 'country', 'colour', 'kind'],
  ...['label_abv', 'label_abv_low', 'label_abv_high', 'label_market'],
];
const TABLE_FIELDS = ['name', 'on', 'leader_name', 'started_at', 'ended_at'];
const GLASS_FIELDS = ['position', 'mark', 'discussed_at', 'uncovered_at'];
const PERSON_FIELDS = ['name', 'agreed_at'];

/** @param {PersonRecords} records @returns {Fields} for `framesOf` */
export function personDocument({ person, tables, bottles }) {
  let left = MAX_CARRIED;
  /** @type {Map<string, Fields>} */
  const poured = new Map();
  const carried = tables.flatMap(({ table, guest, glasses, sheets }) => {
    const shown = sheets.slice(0, Math.max(0, left));
    left -= shown.length;
    if (!shown.length) return [];
    const rows = shown.flatMap((sheet) => {
      const glass = glasses.find(({ id }) => id === sheet.fields['glass']);
      const bottle = glass && resolveBottle(bottles, glass.fields['bottle']);
      if (!glass || !bottle) return [];
      poured.set(bottle.id, only(bottle.fields, BOTTLE_FIELDS));
      return [[glass.id, bottle.id, only(glass.fields, GLASS_FIELDS), only(sheet.fields, SHEET_FIELDS)]];
    });
    return [{ id: table.id, ...only(table.fields, TABLE_FIELDS), guest: guest.id, glasses: rows }];
  });
  return {
    kind: 'person',
    version: VERSION,
    id: person?.id,
    ...only(person?.fields ?? {}, PERSON_FIELDS),
    tables: carried,
    bottles: Object.fromEntries(poured),
  };
}

/** @param {Fields} document from `personDocument` @returns {number} of the answers in it */
export function countCarried({ tables }) {
  return tables.reduce((/** @type {number} */ sum, /** @type {Fields} */ { glasses }) => sum + glasses.length, 0);
}

/** @typedef {{ id: string, name: string, agreed_at: string, edits: Edit[], count: number }} ScannedPerson */

/**
 * @param {any} document as read from codes, which anybody may have made
 * @returns {ScannedPerson | null} with all records; null if it is no person who has agreed
 */
export function readPersonDocument(document) {
  if (document?.kind !== 'person' || document.version !== VERSION || !isId(document.id)) return null;
  const fields = sound('person', document, PERSON_FIELDS);
  if (!fields['name'] || !fields['agreed_at']) return null;
  const bottles = Object.entries(isObject(document.bottles) ? document.bottles : {}).flatMap(([id, label]) =>
    isId(id) && isObject(label) ? [edit('bottle', id, sound('bottle', label, BOTTLE_FIELDS))] : [],
  );
  const known = new Set(bottles.map(({ id }) => id));
  const tables = Array.isArray(document.tables) ? document.tables : [];
  /** @type {Edit[]} */
  const edits = tables.flatMap((/** @type {any} */ table) =>
    isObject(table) && isId(table['id']) && isId(table['guest']) ? tableEdits(table, document.id, fields, known) : [],
  );
  const count = edits.filter(({ kind }) => kind === 'sheet').length;
  const { name, agreed_at } = fields;
  return {
    id: document.id,
    name,
    agreed_at,
    edits: [edit('person', document.id, fields), ...bottles, ...edits],
    count,
  };
}

/**
 * @param {Fields} table as in the document
 * @param {string} person
 * @param {Fields} fields name and agreement of the person
 * @param {Set<string>} bottles
 * @returns {Edit[]}
 */
function tableEdits(table, person, { name, agreed_at: agreed }, bottles) {
  const { id, guest } = table;
  const rows = (Array.isArray(table['glasses']) ? table['glasses'] : []).slice(0, MAX_CARRIED);
  const glasses = rows.flatMap((/** @type {any} */ row) => {
    const [glass, bottle, place, answers] = Array.isArray(row) ? row : [];
    if (!isId(glass) || !bottles.has(bottle) || !isObject(place) || !isObject(answers)) return [];
    const of = { group_tasting: id };
    return [
      edit('glass', glass, { ...sound('glass', place, GLASS_FIELDS), ...of, bottle }),
      edit('sheet', sheetId(guest, glass), { ...sound('sheet', answers, SHEET_FIELDS), ...of, glass, guest }),
    ];
  });
  if (!glasses.length) return [];
  // It has ended here, its labels came along, and it is not kept: once the person is forgotten, the answers are deleted
  // after 30 days.
  const told = sound('group_tasting', table, TABLE_FIELDS);
  const head = { ...told, ended_at: told['ended_at'] ?? agreed, names_shown: true, labels_hidden: false };
  return [
    edit('group_tasting', id, head),
    edit('guest', guest, { group_tasting: id, name, number: 1, person, entry: 'qr' }),
    ...glasses,
  ];
}

/**
 * Tell whether a table came with a person from another notebook: one that is set here has an order and a pace.
 * @param {{ fields: Fields }} table
 */
export function isCarried({ fields }) {
  return !fields['order'] && !fields['pace'] && !fields['steps'] && Boolean(fields['ended_at']);
}

/** @param {Edit['kind']} kind @param {string} id @param {Fields} fields @returns {Edit} */
function edit(kind, id, fields) {
  return { kind, id, fields };
}

/** @param {Fields} fields @param {string[]} names @returns {Fields} the fields of these names that have a value */
function only(fields, names) {
  return Object.fromEntries(names.flatMap((name) => ((fields[name] ?? null) === null ? [] : [[name, fields[name]]])));
}

/** @param {Edit['kind']} kind @param {Fields} given @param {string[]} names @returns {Fields} valid ones alone */
function sound(kind, given, names) {
  const found = only(given, names);
  const errors = validateFields(kind, found);
  return Object.fromEntries(Object.entries(found).filter(([name]) => !(name in errors)));
}
