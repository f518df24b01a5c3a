// Adds imported rows to the shelf in one transaction. Known bottles are linked.
import { timestamp } from '../../../lib/datetime.js';
import { commitEdits, newId, saveMany } from '../../../store/write.js';
import { gainedFields } from '../../../domain/bottle/gained_fields.js';
import { styleOf } from '../../../domain/style_names.js';
import { gtinNormal } from '../../../rules/label/product_codes.js';
import { vintageText } from '../../../domain/vintage_text.js';
import { nameAndVintage, wordsOf } from './name_and_vintage.js';

/** @typedef {import('./import_rows.js').ParsedRow} ParsedRow */
/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../store/record.js').Fields} Fields */

/**
 * @typedef {{ kind: 'pick' | 'bottle', id: string, gained?: { id: string, fields: Fields } }} Added a new record;
 *   `gained`: what the known bottle of a pick lacked
 */

/**
 * @param {ParsedRow[]} rows without errors
 * @param {Row[]} known
 * @returns {Promise<Added[]>}
 */
export async function addRows(rows, known) {
  const bottles = known.filter((row) => !row.fields['merged_into']);
  // A bottle of exactly this name comes before one that has its year in the name.
  const byName = new Map([
    ...bottles.map((row) => /** @type {const} */ ([nameKey(asImported(row.fields)), row.id])),
    ...bottles.map((row) => /** @type {const} */ ([nameKey(row.fields), row.id])),
  ]);
  const byId = new Map(bottles.map(({ id, fields }) => [id, fields]));
  const edits = rows.flatMap(({ bottle, pick }) => {
    const existing = byName.get(nameKey(bottle));
    const id = existing ?? newId();
    const had = byId.get(id) ?? {};
    const fields = existing ? gainedFields(had, bottleFields(bottle)) : bottleFields(bottle);
    byName.set(nameKey(bottle), id);
    byId.set(id, { ...had, ...fields });
    const isGain = existing && Object.keys(fields).length > 0;
    return [
      ...(existing ? [] : [{ kind: /** @type {const} */ ('bottle'), id, fields }]),
      {
        kind: /** @type {const} */ ('pick'),
        id: newId(),
        fields: { ...pick, bottle: id, seen_at: timestamp(), state: 'open' },
        ...(isGain ? { gained: { id, fields } } : {}),
      },
    ];
  });
  const gains = edits.flatMap((edit) =>
    'gained' in edit ? [{ kind: /** @type {const} */ ('bottle'), ...edit.gained }] : [],
  );
  await saveMany([...edits.map(({ kind, id, fields }) => ({ kind, id, fields })), ...gains]);
  return edits.map(({ fields: _, ...added }) => added);
}

/** Undo the addition: delete the new records, and empty what known bottles gained. @param {Added[]} added */
export async function removeRows(added) {
  const isNew = new Set(added.map(({ id }) => id));
  const gains = added.flatMap(({ gained }) => (gained && !isNew.has(gained.id) ? [gained] : []));
  await commitEdits([
    ...added.map(({ kind, id }) => ({ kind, id, deleted: true })),
    ...gains.map(({ id, fields }) => ({
      kind: /** @type {const} */ ('bottle'),
      id,
      fields: Object.fromEntries(Object.keys(fields).map((name) => [name, null])),
    })),
  ]);
}

/** Return the key of a wine and vintage. @param {Fields} fields */
function nameKey(fields) {
  return `${wordsOf(fields['name'])}/${vintageText(fields) ?? ''}`;
}

/**
 * Take the year or "NV" out of the name, as the import does with that of a row, unless the vintage is another.
 * @param {Fields} fields
 * @returns {Fields}
 */
function asImported(fields) {
  const { name, year } = nameAndVintage(fields['name'] ?? null, null, new Date().getFullYear());
  const vintage = vintageText(fields);
  return year && (!vintage || vintage === vintageText(year)) ? { name, ...year } : fields;
}

/** @param {Fields} bottle */
function bottleFields(bottle) {
  const style = styleOf(bottle['style']);
  return {
    ...bottle,
    ...(bottle['gtin'] ? { gtin: gtinNormal(bottle['gtin']) } : {}),
    ...(style ? { colour: style.colour, kind: style.kind } : {}),
  };
}
