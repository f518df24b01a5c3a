// Saves the changes of a led tasting.
import { timestamp, today } from '../../lib/datetime.js';
import { ofGroupTasting } from '../../store/queries.js';
import { newId, removeMany, restoreMany, save, saveMany } from '../../store/write.js';
import { randomInt } from '../blind/shuffle.js';
import { arranged, drawDuplicate, duplicates } from './arrange.js';
import { sheetId } from './sheet_id.js';

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
export async function changeTable({ row, glasses }, fields) {
  if (!row) return;
  const changed = 'order' in fields ? { ...fields, order_seed: randomInt(SEEDS) } : fields;
  const ids = glasses.map(({ id }) => id);
  const head = { ...row.fields, ...changed };
  await saveMany([
    { kind: 'group_tasting', id: row.id, fields: changed },
    ...('order' in fields ? arranged(head, ids) : []),
  ]);
}

/**
 * Add a glass, or fill one.
 * @param {TableRecords} table
 * @param {string | null} glass null for a new one
 * @param {{ bottle: string } | { name: string }} wine a bottle of the notebook, or a new one
 */
export async function pourInto(table, glass, wine) {
  if (!table.row) return;
  const bottle = 'bottle' in wine ? wine.bottle : newId();
  const id = glass ?? newId();
  const ids = [...table.glasses.map((row) => row.id), ...(glass ? [] : [id])];
  await saveMany([
    ...('name' in wine ? [{ kind: /** @type {const} */ ('bottle'), id: bottle, fields: { name: wine.name } }] : []),
    { kind: 'glass', id, fields: { group_tasting: table.row.id, bottle } },
    ...arranged(table.row.fields, ids),
  ]);
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

/** @param {TableRecords} table @param {string[]} gone */
export async function takeGlassesAway({ row, glasses }, gone) {
  if (!row || !gone.length) return;
  await removeMany(gone.map((id) => ({ kind: 'glass', id })));
  await saveMany(
    arranged(
      row.fields,
      glasses.map(({ id }) => id).filter((id) => !gone.includes(id)),
    ),
  );
}

/** Pour one wine twice, drawn by lot, or only once again. @param {TableRecords} table @param {boolean} isTwice */
export async function pourTwice(table, isTwice) {
  const { row, glasses } = table;
  const filled = glasses.filter(({ fields }) => fields['bottle']);
  const now = duplicates(glasses);
  if (!row || isTwice === now.length > 0 || !filled.length) return;
  if (!isTwice) {
    await takeGlassesAway(
      table,
      now.map(({ id }) => id),
    );
    return;
  }
  const { twice, at } = drawDuplicate(filled.length, randomInt);
  const id = newId();
  const ids = [...filled.map((glass) => glass.id)];
  ids.splice(at, 0, id);
  const empty = glasses.filter(({ fields }) => !fields['bottle']).map((glass) => glass.id);
  await saveMany([
    { kind: 'glass', id, fields: { group_tasting: row.id, bottle: filled[twice]?.fields['bottle'] } },
    ...arranged(row.fields, [...ids, ...empty]),
  ]);
}

/**
 * Add somebody who tastes without a phone of their own.
 * @param {TableRecords} table
 * @param {'leader' | 'passed'} entry
 * @param {string | null} name
 * @returns {Promise<Pick<Row, 'id' | 'fields'>>}
 */
export async function addGuest({ row, guests }, entry, name) {
  const number = 1 + Math.max(0, ...guests.map(({ fields }) => fields['number'] ?? 0));
  const fields = { group_tasting: row?.id ?? null, name, number, entry, joined_at: timestamp() };
  return { id: await save('guest', newId(), fields), fields };
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
 * Delete a table and all that belongs to it.
 * @param {string} id
 * @returns {Promise<() => Promise<void>>} undoes it
 */
export async function deleteTable(id) {
  const kinds = /** @type {const} */ (['glass', 'guest', 'sheet']);
  const rows = await Promise.all(kinds.map((kind) => ofGroupTasting(kind, id)));
  const named = [
    { kind: /** @type {const} */ ('group_tasting'), id },
    ...rows.flat().map((row) => ({ kind: row.kind, id: row.id })),
  ];
  await removeMany(named);
  return () => restoreMany(named);
}
