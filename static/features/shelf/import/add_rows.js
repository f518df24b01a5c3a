// Adds imported rows to the shelf in one transaction. Known bottles are linked.
import { timestamp } from '../../../lib/datetime.js';
import { newId, saveMany } from '../../../store/write.js';
import { styleOf } from '../../../domain/style_names.js';
import { gtinNormal } from '../../../rules/label/product_codes.js';
import { vintageText } from '../../../domain/vintage_text.js';
import { nameAndVintage, wordsOf } from './name_and_vintage.js';

/** @typedef {import('./import_rows.js').ParsedRow} ParsedRow */
/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../store/record.js').Fields} Fields */

/**
 * @param {ParsedRow[]} rows without errors
 * @param {Row[]} known
 * @returns {Promise<{ kind: 'pick' | 'bottle', id: string }[]>} the new records
 */
export async function addRows(rows, known) {
  const bottles = known.filter((row) => !row.fields['merged_into']);
  // A bottle of exactly this name comes before one that has its year in the name.
  const byName = new Map([
    ...bottles.map((row) => /** @type {const} */ ([nameKey(asImported(row.fields)), row.id])),
    ...bottles.map((row) => /** @type {const} */ ([nameKey(row.fields), row.id])),
  ]);
  const edits = rows.flatMap(({ bottle, pick }) => {
    const existing = byName.get(nameKey(bottle));
    const id = existing ?? newId();
    byName.set(nameKey(bottle), id);
    return [
      ...(existing ? [] : [{ kind: /** @type {const} */ ('bottle'), id, fields: bottleFields(bottle) }]),
      {
        kind: /** @type {const} */ ('pick'),
        id: newId(),
        fields: { ...pick, bottle: id, seen_at: timestamp(), state: 'open' },
      },
    ];
  });
  await saveMany(edits);
  return edits.map(({ kind, id }) => ({ kind, id }));
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
