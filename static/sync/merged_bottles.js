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
import { merge } from '../store/merge.js';
import { emptyEntry, revisionOf, withRevisions } from '../store/outbox.js';
import { toRow } from '../store/record.js';

/** Fields about the record and not about the wine. */
const BOOKKEEPING = ['merged_into', 'apart_from', 'example', 'covered'];
/** Two phones may have merged in a circle. */
const MOST_STEPS = 8;

/**
 * @param {BookRecord | null} mine before the merge
 * @param {BookRecord} theirs whole
 * @returns {Late[]} one, or none if the bottle was not merged or has no new value
 */
export function lateValues(mine, theirs) {
  if (mine?.kind !== 'bottle' || !mine.fields['merged_into']) return [];
  return newValues(theirs, (field, clock) => clock > (mine.clocks[field] ?? ''));
}

/**
 * @param {BookRecord[]} sent by this phone
 * @param {BookRecord[]} changes that answer it
 * @returns {Late[]} what this phone wrote before it heard of the merge
 */
export function unheardValues(sent, changes) {
  const merged = new Set(changes.filter(({ fields }) => fields['merged_into']).map(({ id }) => id));
  return sent
    .filter(({ kind, id, clocks }) => kind === 'bottle' && merged.has(id) && !clocks['merged_into'])
    .flatMap((record) => newValues(record, () => true));
}

/** @param {BookRecord} record @param {(field: string, clock: string) => boolean} isNew @returns {Late[]} */
function newValues({ id, fields, clocks }, isNew) {
  const named = Object.entries(clocks).filter(
    ([field, clock]) => isNew(field, clock) && !BOOKKEEPING.includes(field) && (fields[field] ?? null) !== null,
  );
  if (named.length === 0) return [];
  return [
    {
      id,
      fields: Object.fromEntries(named.map(([field]) => [field, fields[field]])),
      clocks: Object.fromEntries(named),
    },
  ];
}

/** @param {Transaction} tx @param {Late[]} late */
export async function passOn(tx, late) {
  for (const { id, fields, clocks } of late) {
    const survivor = await survivorOf(tx, id);
    if (!survivor) continue;
    const { record, changed } = merge(survivor, { ...survivor, fields, clocks, deleted_clock: null });
    if (!changed) continue;
    await tx.bottle.put(toRow(record));
    const taken = Object.keys(clocks).filter((field) => record.clocks[field] === clocks[field]);
    const delta = {
      fields: Object.fromEntries(taken.map((field) => [field, fields[field]])),
      clocks: Object.fromEntries(taken.map((field) => [field, String(clocks[field])])),
    };
    const before = (await tx.outbox.get(survivor.id)) ?? emptyEntry('bottle', survivor.id);
    const unsent = revisionOf(before, delta, () => false);
    await tx.outbox.put({
      ...withRevisions(before, [...(before.earlier ?? []), ...(unsent ? [unsent] : [])]),
      fields: { ...before.fields, ...delta.fields },
      clocks: { ...before.clocks, ...delta.clocks },
      held: 0,
      errors: null,
      not_before_ms: 0,
    });
  }
}

/** @param {Transaction} tx @param {string} id @returns {Promise<Row | null>} null if the bottle is no longer merged */
async function survivorOf(tx, id) {
  let found = await tx.bottle.get(id);
  for (let step = 0; found?.fields['merged_into'] && step < MOST_STEPS; step += 1)
    found = await tx.bottle.get(found.fields['merged_into']);
  return found && !found.gone && !found.fields['merged_into'] && found.id !== id ? found : null;
}
