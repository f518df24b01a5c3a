/**
 * Stage 3: what the server made of what was sent. Inside the transaction of `take`.
 *
 * @typedef {import('../tables.js').Book} Book
 * @typedef {import('../tables.js').Unsent} Unsent
 * @typedef {import('../record.js').BookRecord} BookRecord
 */
import { asChange, withoutSent } from '../outbox.js';
import { sameValue } from '../canonical.js';

/**
 * @param {Book} book
 * @param {import('./send.js').Outcome[]} outcomes in the order of `sent`
 * @param {BookRecord[]} sent
 * @returns {Promise<{ taken: number, refused: number, restamp: boolean }>}
 */
export async function settleOutcomes(book, outcomes, sent) {
  const counts = { taken: 0, refused: 0, restamp: false };
  if (sent.length === 0) return counts;
  const rows = await rowsOf(book, sent.map((change) => change.id));
  /** @type {Unsent[]} */
  const left = [];
  /** @type {string[]} */
  const done = [];
  sent.forEach((change, place) => {
    const [row, outcome] = [rows.get(change.id), outcomes[place]];
    if (!row || !outcome || (outcome.id !== null && outcome.id !== change.id)) return;
    if (outcome.outcome === 'restamp') { counts.restamp = true; return; }
    counts[outcome.outcome === 'refused' ? 'refused' : 'taken'] += 1;
    const next = outcome.outcome === 'refused' ? refused(row, change, outcome.errors) : withoutSent(row, change);
    if (next) left.push({ ...next, held: next.held === 2 ? 0 : next.held, tries: 0 });
    else done.push(row.id);
  });
  await book.outbox.bulkPut(left);
  await dropRows(book, done, done.length === rows.size);
  return counts;
}

/** Below so many, asking for each is no slower. */
const FEW = 50;

/**
 * A request carries neighbours in the outbox, and the browser reads and deletes a range far faster than single rows.
 * @param {Book} book
 * @param {string[]} ids
 * @returns {Promise<Map<string, Unsent>>} also rows that lie between them
 */
async function rowsOf(book, ids) {
  const rows = ids.length < FEW ? await book.outbox.bulkGet(ids) : await rangeOf(book, ids).toArray();
  return new Map(rows.flatMap((row) => (row ? [[row.id, row]] : [])));
}

/** @param {Book} book @param {string[]} ids @param {boolean} alone nothing else lies between them */
async function dropRows(book, ids, alone) {
  if (ids.length < FEW || !alone) await book.outbox.bulkDelete(ids);
  else await rangeOf(book, ids).delete();
}

/** @param {Book} book @param {string[]} ids */
function rangeOf(book, ids) {
  const sorted = [...ids].sort();
  return book.outbox.where(':id').between(sorted[0], sorted.at(-1), true, true);
}

/**
 * A record that was edited after it was sent may be mended already, and is offered again.
 * @param {Unsent} row
 * @param {BookRecord} sent
 * @param {import('../check.js').Faults} [errors]
 * @returns {Unsent}
 */
export function refused(row, sent, errors) {
  if (!sameValue(asChange(row), sent)) return row;
  return { ...row, held: 1, errors: errors ?? { record: [{ code: 'refused' }] } };
}
