// Saves the changes of a led tasting.
import { timestamp, today } from '../../lib/datetime.js';
import { ofGroupTasting } from '../../store/queries.js';
import { commitEdits, newId, readAfterWrites, removeMany, restoreMany, save, saveMany } from '../../store/write.js';
import { vintageInName } from '../../rules/label/vintage_in_name.js';
import { randomInt } from '../blind/shuffle.js';
import { leadOn, start } from './flow.js';
import { arranged, drawDuplicate, pouredTwice, secondGlassId } from './arrange.js';
import { tableMoment } from './moment.js';
import { readTable } from './table_records.js';
import { hashedId, sheetId } from './sheet_id.js';

/** @typedef {import('../../store/write.js').Kind} Kind */
/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {Record<string, any>} Fields */

const SEEDS = 2 ** 31;

/**
 * @param {Fields} fields of the group tasting
 * @param {number} glasses number of empty glasses
 * @returns {Promise<string>} the id
 */
export async function createTable(fields, glasses) {
  const id = newId();
  const ids = Array.from({ length: glasses }, () => newId());
  const head = { on: today(), order: 'listed', order_seed: randomInt(SEEDS), pace: 'led', ...fields };
  await saveMany([
    { kind: 'group_tasting', id, fields: head },
    ...arranged(head, ids).map((edit) => ({ ...edit, fields: { ...edit.fields, group_tasting: id } })),
  ]);
  return id;
}

/** @param {TableRecords} table @param {Fields} fields changed in the group tasting */
export async function changeTable(table, fields) {
  const { row, glasses } = table;
  if (!row) return;
  const changed = {
    ...fields,
    ...('order' in fields ? { order_seed: randomInt(SEEDS) } : {}),
    // At everybody's own pace no step is open, for the next tap to close.
    ...(fields['pace'] === 'free' ? { open_glass: null, open_step: null } : {}),
  };
  const ids = glasses.map(({ id }) => id);
  const head = { ...row.fields, ...changed };
  await saveMany([
    { kind: 'group_tasting', id: row.id, fields: changed },
    ...('order' in fields ? arranged(head, ids) : []),
    ...(fields['pace'] === 'led' ? leadOn({ ...table, row: { ...row, fields: head } }) : []),
  ]);
}

/**
 * Start as the page shows it, because a page that is closed loses an edit that waits for a read; then as stored,
 * because the page may not show yet what was written last.
 * @param {TableRecords} table
 * @param {Fields} fields of the group tasting, as shown
 */
export async function startTable(table, fields) {
  const { row } = table;
  if (!row) return;
  const now = tableMoment();
  await saveMany(start({ ...table, row: { ...row, fields } }, now));
  await saveMany(start(await readAfterWrites(() => readTable(row.id)), now));
}

/**
 * Add a glass, or fill one.
 * @param {TableRecords} table
 * @param {string | null} glass null for a new one
 * @param {{ bottle: string } | (Fields & { name: string })} wine a bottle of the notebook, or a new one
 */
export async function pourInto(table, glass, wine) {
  if (!table.row) return;
  const isNew = !('bottle' in wine);
  const bottle = isNew ? newId() : wine['bottle'];
  const id = glass ?? newId();
  const ids = [...table.glasses.map((row) => row.id), ...(glass ? [] : [id])];
  await saveMany([
    ...(isNew ? [{ kind: /** @type {const} */ ('bottle'), id: bottle, fields: newFields(wine) }] : []),
    { kind: 'glass', id, fields: { group_tasting: table.row.id, bottle } },
    ...arranged(table.row.fields, ids),
  ]);
}

/**
 * Return what is known of a new wine; a year in its name that is surely the vintage is noted as such.
 * @param {Fields} wine as typed
 * @returns {Fields}
 */
function newFields(wine) {
  const known = Object.fromEntries(Object.entries(wine).filter(([, value]) => value !== null));
  const found = vintageInName(known['name'], new Date().getFullYear());
  return found?.sure ? { vintage: found.vintage, ...known, name: found.name } : known;
}

/** @param {TableRecords} table @param {string} glass @param {number} by -1: one place up; 1: one down */
export async function moveGlass({ row, glasses }, glass, by) {
  const ids = glasses.map(({ id }) => id);
  const at = ids.indexOf(glass);
  const other = ids[at + by];
  if (!row || at === -1 || other === undefined) return;
  ids[at] = other;
  ids[at + by] = glass;
  await saveMany(arranged(row.fields, ids));
}

/**
 * @param {TableRecords} table
 * @param {string[]} gone
 * @returns {Promise<() => Promise<void>>} brings them back to the places and letters that all glasses had
 */
export async function takeGlassesAway({ row, glasses }, gone) {
  const named = gone.map((id) => ({ kind: /** @type {const} */ ('glass'), id }));
  const kept = glasses.filter(({ id }) => !gone.includes(id));
  await commitEdits([
    ...named.map((one) => ({ ...one, deleted: true })),
    ...arranged(
      row?.fields ?? {},
      kept.map(({ id }) => id),
    ),
  ]);
  const before = glasses.map(({ id, fields: { position, mark } }) => ({
    kind: /** @type {const} */ ('glass'),
    id,
    fields: { position, mark },
    ...(gone.includes(id) ? { deleted: false } : {}),
  }));
  return () => commitEdits(before);
}

/**
 * Pour one wine into one more glass; wine and place are drawn by lot. All other glasses keep their order.
 * @param {TableRecords} table
 * @returns {Promise<{ mark: string, first: Row, undo: () => Promise<void> } | null>} null if no glass has a wine
 */
export async function pourTwice({ row, glasses }) {
  const filled = glasses.flatMap(({ fields }, at) => (fields['bottle'] ? [at] : []));
  if (!row || !filled.length) return null;
  const { twice, at } = drawDuplicate(filled, glasses.length, randomInt);
  const first = /** @type {Row} */ (glasses[twice]);
  const bottle = first.fields['bottle'];
  const id = secondGlassId(first.id, bottle);
  const ids = glasses.map((glass) => glass.id);
  ids.splice(at, 0, id);
  const places = arranged(row.fields, ids);
  const added = { fields: { group_tasting: row.id, bottle }, deleted: false };
  await commitEdits(
    places.map((place) =>
      place.id === id ? { ...place, ...added, fields: { ...place.fields, ...added.fields } } : place,
    ),
  );
  const before = glasses.map(({ id: glass, fields: { position, mark } }) => ({
    kind: /** @type {const} */ ('glass'),
    id: glass,
    fields: { position, mark },
  }));
  const undo = () => commitEdits([{ kind: 'glass', id, deleted: true }, ...before]);
  return { mark: places.find((place) => place.id === id)?.fields['mark'] ?? '', first, undo };
}

/**
 * Take away the glass that was added to pour a wine twice. Glasses that the leader added stay, also of the same wine.
 * @param {TableRecords} table
 * @returns {Promise<() => Promise<void>>} undoes it
 */
export function pourOnce(table) {
  const added = pouredTwice(table.glasses)?.second;
  return takeGlassesAway(table, added ? [added.id] : []);
}

/**
 * Add somebody who tastes without a phone of their own. The leader is one guest, also if two phones add the leader.
 * @param {TableRecords} table
 * @param {'leader' | 'passed'} entry
 * @param {string | null} name
 * @returns {Promise<Pick<Row, 'id' | 'fields'>>}
 */
export async function addGuest({ row, nextNumber }, entry, name) {
  const fields = { group_tasting: row?.id ?? null, name, number: nextNumber, entry, joined_at: timestamp() };
  return { id: await save('guest', row && entry === 'leader' ? leaderId(row) : newId(), fields), fields };
}

/**
 * Compute the id of the leader as a guest from the oldest clock, which edits seldom change. Guests do not know it, so
 * they cannot compute the id.
 * @param {Row} row
 */
function leaderId({ id, clocks }) {
  return hashedId(`leader:${id}:${Object.values(clocks).sort()[0]}`);
}

/** @param {string} guest */
export async function removeGuest(guest) {
  await save('guest', guest, { removed_at: timestamp() });
}

/** @param {string} guest */
export async function readmitGuest(guest) {
  await save('guest', guest, { removed_at: null });
}

/**
 * @param {TableRecords} table
 * @param {string} guest
 * @param {string} glass
 * @param {Fields} answers
 * @returns {{ kind: Kind, id: string, fields: Fields }} to be saved
 */
export function sheetEdit({ row, sheets }, guest, glass, answers) {
  const id = sheetId(guest, glass);
  const known = sheets.some((sheet) => sheet.id === id);
  const of = known ? {} : { group_tasting: row?.id ?? null, glass, guest, tasted_at: timestamp() };
  return { kind: 'sheet', id, fields: { ...of, ...answers } };
}

/**
 * Delete a table and all that belongs to it. What is shown goes first, because a page that is closed loses what it
 * reads for; guests who were removed are not shown.
 * @param {TableRecords} table
 * @returns {Promise<() => Promise<void>>} undoes it
 */
export async function deleteTable({ row, glasses, guests, sheets }) {
  if (!row) return () => Promise.resolve();
  const shown = [row, ...glasses, ...guests, ...sheets];
  await removeMany(shown);
  const kinds = /** @type {const} */ (['glass', 'guest', 'sheet']);
  const left = (await Promise.all(kinds.map((kind) => ofGroupTasting(kind, row.id)))).flat();
  if (left.length) await removeMany(left);
  return () => restoreMany([...shown, ...left]);
}
