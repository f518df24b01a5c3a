/**
 * Passes on what another phone wrote on a bottle that had been merged into another one, which its screen may have shown
 * still. The value keeps its clock, so every phone writes the same, and a later one of the survivor stays. Runs inside
 * the transaction of `applyResponse`.
 *
 * @typedef {import('../store/database.js').Transaction} Transaction
 * @typedef {import('../store/record.js').BookRecord} BookRecord
 * @typedef {import('../store/record.js').Row} Row
 * @typedef {{ id: string, fields: BookRecord['fields'], clocks: BookRecord['clocks'] }} Late
 */
import { emptyEntry, revisionOf, withRevisions } from '../store/outbox.js';
import { toRow } from '../store/record.js';
import { withValues } from './dropped_values.js';

/** Fields about the record and not about the wine. */
const BOOKKEEPING = ['merged_into', 'apart_from', 'example', 'covered'];
/** Two phones may have merged in a circle. */
const MOST_MERGES = 8;

/**
 * @param {BookRecord | null} mine before the merge
 * @param {BookRecord} theirs whole
 * @returns {Late[]} one, or none if the bottle was not merged or has no new value
 */
export function lateValues(mine, theirs) {
  return mine?.fields['merged_into'] ? valuesAfter(mine.clocks, theirs) : [];
}

/**
 * @param {BookRecord[]} sent by this phone
 * @param {BookRecord[]} changes that answer it
 * @returns {Late[]} what this phone wrote before it received a merge, and what it wrote on bottles without one
 */
export function valuesWithoutMerge(sent, changes) {
  const answered = new Set(changes.map(({ id }) => id));
  return sent.filter(({ id, clocks }) => answered.has(id) && !clocks['merged_into']);
}

/**
 * @param {BookRecord['clocks']} known
 * @param {Late} record
 * @returns {Late[]} its later values, without emptied ones, which say nothing of the survivor's
 */
function valuesAfter(known, { id, fields, clocks }) {
  const later = Object.entries(clocks).filter(
    ([field, clock]) =>
      clock > (known[field] ?? '') && !BOOKKEEPING.includes(field) && String(fields[field] ?? '') !== '',
  );
  if (later.length === 0) return [];
  const values = Object.fromEntries(later.map(([field]) => [field, fields[field]]));
  return [{ id, fields: values, clocks: Object.fromEntries(later) }];
}

/**
 * @param {Transaction} tx
 * @param {Late[]} late
 * @returns {Promise<boolean>} whether it wrote anything
 */
export async function passOn(tx, late) {
  let wrote = false;
  for (const one of late) {
    const survivor = await survivorOf(tx, one.id);
    if (!survivor) continue;
    const [delta] = valuesAfter(survivor.clocks, one);
    if (!delta) continue;
    const entry = (await tx.outbox.get(survivor.id)) ?? emptyEntry('bottle', survivor.id);
    const unsent = revisionOf(entry, delta, () => false);
    const before = withRevisions(entry, [...(entry.earlier ?? []), ...(unsent ? [unsent] : [])]);
    await tx.bottle.put(toRow(withValues(survivor, delta.fields, delta.clocks)));
    const next = withValues(before, delta.fields, delta.clocks);
    await tx.outbox.put({ ...next, held: 0, errors: null, not_before_ms: 0 });
    wrote = true;
  }
  return wrote;
}

/** @param {Transaction} tx @param {string} id @returns {Promise<Row | null>} the bottle itself if it is not merged */
async function survivorOf(tx, id) {
  let found = await tx.bottle.get(id);
  for (let step = 0; found?.fields['merged_into'] && step < MOST_MERGES; step += 1)
    found = await tx.bottle.get(found.fields['merged_into']);
  return found && !found.gone && !found.fields['merged_into'] ? found : null;
}
