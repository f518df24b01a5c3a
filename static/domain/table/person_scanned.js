// Takes over a person whom another notebook showed as QR codes. What is here stays, so scanning again changes nothing.
import { record } from '../../store/queries.js';
import { commitEdits } from '../../store/write.js';

/** @typedef {import('./person_document.js').Edit} Edit */
/** @typedef {import('./person_document.js').ScannedPerson} ScannedPerson */
/** @typedef {import('../../store/record.js').Row} Row */

/**
 * @param {ScannedPerson} scanned
 * @returns {Promise<number>} how many answers are new
 */
export async function saveScannedPerson({ id: person, edits }) {
  const found = await Promise.all(edits.map(({ kind, id }) => record(kind, id)));
  const known = new Map(edits.map((edit, at) => [edit.id, found[at]]));
  const missing = edits.filter((edit) => isMissing(edit, known, person));
  await commitEdits(missing.map((edit) => (known.get(edit.id) ? { ...edit, deleted: false } : edit)));
  return missing.filter(({ kind }) => kind === 'sheet').length;
}

/**
 * Tell whether a record has to be written. One that belongs to something else stays as it is, and so do answers for a
 * guest or a glass of another table.
 * @param {Edit} edit
 * @param {Map<string, Row | undefined>} known
 * @param {string} person
 */
function isMissing({ kind, id, fields }, known, person) {
  const row = known.get(id);
  if (kind === 'guest' && row && !row.gone) return !row.fields['person'] && isOfTable(row, fields);
  if (row && !row.gone) return false;
  if (kind !== 'sheet') return true;
  const [guest, glass] = [known.get(fields['guest']), known.get(fields['glass'])];
  const isOwn = !guest || !guest.fields['person'] || guest.fields['person'] === person;
  return isOwn && [guest, glass].every((one) => !one || isOfTable(one, fields));
}

/** @param {Row} row @param {Record<string, any>} fields */
function isOfTable(row, fields) {
  return row.fields['group_tasting'] === fields['group_tasting'];
}
