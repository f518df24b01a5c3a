// What a known bottle gains from another description of it: one that was typed, or that of a list.

/** @typedef {import('../../store/record.js').Fields} Fields */

/** What goes together: a bottle that has one of a group gains none of it. */
const GROUPS = [
  ['label_abv', 'label_abv_low', 'label_abv_high'],
  ['style', 'colour', 'kind'],
  ['producer'],
  ['region'],
  ['gtin'],
];

/**
 * Return what the bottle lacks. A hidden label gains nothing, and a bottle nothing from another vintage.
 * @param {Fields} had
 * @param {Fields} said
 * @returns {Fields}
 */
export function gainedFields(had, said) {
  const has = (/** @type {Fields} */ fields, /** @type {string} */ name) => (fields[name] ?? null) !== null;
  const isOther = has(had, 'vintage') && has(said, 'vintage') && had['vintage'] !== said['vintage'];
  const groups = had['covered'] || isOther ? [] : GROUPS.filter((group) => !group.some((name) => has(had, name)));
  return Object.fromEntries(groups.flat().flatMap((name) => (has(said, name) ? [[name, said[name]]] : [])));
}

/**
 * @param {string} id of the bottle
 * @param {Fields} gained
 * @returns {{ kind: 'bottle', id: string, fields: Fields }[]} the edit that saves them; none if nothing is gained
 */
export function gainEdits(id, gained) {
  return Object.keys(gained).length ? [{ kind: 'bottle', id, fields: gained }] : [];
}
