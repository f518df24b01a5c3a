/**
 * The leader's own sheets of an evening as tastings of the notebook, which teach the palate as all others do. Ids are
 * hashes, so that notes that are put into the notebook twice, or by two phones, are there once.
 */
import spec from '../../spec/record.json' with { type: 'json' };
import { record } from '../../store/queries.js';
import { areLabelsHidden } from './covered.js';
import { hashedId } from './sheet_id.js';
import { bottleOf } from './table_records.js';
import { hasAnyAnswer } from './steps.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./table_records.js').TableRecords} TableRecords */
/** @typedef {{ kind: 'visit' | 'tasting', id: string, fields: Record<string, any> }} Edit */

const TASTING_FIELDS = Object.keys(spec.kinds.tasting.fields);

/**
 * @param {TableRecords} table
 * @param {string} now when it ends
 * @returns {Edit[]} the visit and a tasting for each glass that the leader noted anything of; empty without notes
 */
export function ownTastings(table, now) {
  const { row, guests, glasses, sheets } = table;
  const own = guests.find(({ fields }) => fields['entry'] === 'leader');
  const noted = sheets.filter(({ fields }) => fields['guest'] === own?.id && hasAnyAnswer(fields));
  if (!row || !own || !noted.length) return [];
  const { name, on, place, ended_at: ended } = row.fields;
  const isHidden = areLabelsHidden(row.fields);
  const end = ended ?? now;
  const visit = hashedId(`visit:${own.id}:${row.id}`);
  const tastings = noted.flatMap(({ fields }) => {
    const glass = glasses.find(({ id }) => id === fields['glass']);
    if (!glass) return [];
    const { mark, uncovered_at: uncovered } = glass.fields;
    const values = {
      tasted_at: end,
      ...answersIn(fields),
      bottle: bottleOf(table, glass)?.id ?? glass.fields['bottle'] ?? null,
      visit,
      place: place ?? null,
      closed_at: end,
      ...(mark ? { flight_mark: mark } : {}),
      ...(isHidden ? { label_hidden: true, guesses_locked_at: uncovered ?? end, uncovered_at: uncovered ?? end } : {}),
    };
    return [edit('tasting', hashedId(`tasting:${own.id}:${glass.id}`), values)];
  });
  return tastings.length ? [edit('visit', visit, { name: name ?? null, place, on, ended_at: end }), ...tastings] : [];
}

/** @param {Record<string, any>} sheet @returns {Record<string, any>} what a tasting has too, with a value */
function answersIn(sheet) {
  return Object.fromEntries(
    Object.entries(sheet).filter(([field, value]) => value !== null && TASTING_FIELDS.includes(field)),
  );
}

/** @param {Edit['kind']} kind @param {string} id @param {Record<string, any>} given @returns {Edit} */
function edit(kind, id, given) {
  const fields = Object.fromEntries(Object.entries(given).filter(([, value]) => (value ?? null) !== null));
  return { kind, id, fields };
}

/**
 * Leave out what the notebook has already, which may have been changed there since.
 * @param {Edit[]} edits
 * @returns {Promise<Edit[]>}
 */
export async function notInNotebook(edits) {
  const found = await Promise.all(edits.map(({ kind, id }) => record(kind, id)));
  return edits.filter((_, at) => !found[at] || found[at].gone);
}

/** @param {Edit[]} edits @returns {number} of tastings */
export function countTastings(edits) {
  return edits.filter(({ kind }) => kind === 'tasting').length;
}
