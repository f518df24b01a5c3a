/**
 * Counts what only this phone has.
 *
 * @typedef {import('../store/database.js').OutboxEntry} OutboxEntry
 * @typedef {import('../store/persistence.js').Unsent} Unsent
 */

/** Entries that are read to count them; the example has fewer. */
const MAX_READ = 500;
/** Other values of `held` wait for another try. */
const REJECTED = 1;

/**
 * Count what the owner would miss. Very many entries are counted by kind only, because each would have to be read.
 * @param {import('../vendor/dexie.js').Table<OutboxEntry, string>} outbox
 * @returns {Promise<{ pending: number, waiting: Unsent, onlyHere: Unsent, rejected: OutboxEntry[] }>} pending: records
 *   to send, now or later; onlyHere: with those that the server rejected
 */
export async function countUnsent(outbox) {
  const total = await outbox.count();
  if (total > MAX_READ) {
    const notes = await outbox.where('kind').equals('tasting').count();
    const rejected = await outbox.where('held').equals(REJECTED).toArray();
    const held = tally(rejected);
    const onlyHere = { notes, changes: total - notes };
    const waiting = { notes: notes - held.notes, changes: onlyHere.changes - held.changes };
    return { pending: total - rejected.length, waiting, onlyHere, rejected };
  }
  const entries = total > 0 ? await outbox.toArray() : [];
  const rejected = entries.filter(({ held }) => held === REJECTED);
  // A bottle or a visit that a new note or pick names is a part of it.
  const named = new Set(entries.flatMap(({ fields }) => [fields['bottle'], fields['visit']]));
  const own = entries.filter((entry) => isOwn(entry) && !named.has(entry.id));
  const pending = entries.length - rejected.length;
  return { pending, waiting: tally(own.filter(({ held }) => held !== REJECTED)), onlyHere: tally(own), rejected };
}

/** @param {OutboxEntry[]} entries @returns {Unsent} */
function tally(entries) {
  const notes = entries.filter(isNote).length;
  return { notes, changes: entries.length - notes };
}

/**
 * Tell whether the entry has something that its owner would miss: not a deletion, and not a part of the example.
 * @param {OutboxEntry} entry
 */
function isOwn({ deleted, fields }) {
  return !deleted && fields['example'] !== true;
}

/** @param {OutboxEntry} entry */
function isNote({ kind }) {
  return kind === 'tasting';
}
