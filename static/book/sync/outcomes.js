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
  const rows = await book.outbox.bulkGet(sent.map((change) => change.id));
  /** @type {Unsent[]} */
  const left = [];
  /** @type {string[]} */
  const done = [];
  sent.forEach((change, place) => {
    const [row, outcome] = [rows[place], outcomes[place]];
    if (!row || !outcome || (outcome.id !== null && outcome.id !== change.id)) return;
    if (outcome.outcome === 'restamp') { counts.restamp = true; return; }
    counts[outcome.outcome === 'refused' ? 'refused' : 'taken'] += 1;
    const next = outcome.outcome === 'refused' ? refused(row, change, outcome.errors) : withoutSent(row, change);
    if (next) left.push({ ...next, tries: 0 });
    else done.push(row.id);
  });
  await book.outbox.bulkPut(left);
  await book.outbox.bulkDelete(done);
  return counts;
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
