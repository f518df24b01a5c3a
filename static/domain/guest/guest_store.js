/**
 * The guest's own database, apart from the notebook: the tables this phone sits at, and its answers.
 *
 * @typedef {import('./answers.js').Answer} Answer
 * @typedef {Record<string, any>} View what `GET /api/guests/table` returns
 * @typedef {{ agreed: boolean, ms: number, isSent: boolean }} Consent `ms`: when it was decided, by the corrected clock
 * @typedef {Object} Seat
 * @property {string} table id of the led tasting
 * @property {'server' | 'qr'} origin qr: the table came from QR codes, nothing is sent
 * @property {Record<string, string>} invitation `secret` or `code`
 * @property {{ id: string, name: string, number: number | null, agreed_at?: string | null }} guest
 * @property {{ id: string, key: string }} [next] the new guest as whom this phone joins again, until the server answers
 * @property {string} [given] the name typed in joining, which the leader may have changed since
 * @property {string} key proves to the server that a repeated join comes from this phone
 * @property {string | null} token null until the server has answered the join
 * @property {'joining' | 'in' | 'removed' | 'over' | 'left'} state over: no more answers, unless the leader reopens it
 * @property {View} view
 * @property {string | null} etag
 * @property {import('./clock.js').Correction | null} clock
 * @property {{ glass: string, started_ms: number } | null} timer the running finish timer
 * @property {Consent | null} [consent] to be remembered; absent where the guest has decided nothing on this phone
 * @property {number} [heard_ms] when the view came, by the phone's clock
 * @property {string[]} taken glasses whose notes are in this phone's notebook
 * @property {number} opened_ms
 * @typedef {{ table: string, id: string, key: string, names: string[], taken: string[], left_ms: number }} Former who
 *   this phone was at a table that it left
 */
import Dexie from '../../vendor/dexie.js';
import { GUEST_DATABASE } from '../../store/database_name.js';
import { isConnectionLost, storeError } from '../../store/errors.js';
import { emptyAnswer, noted, toSendAgain } from './answers.js';
import { journalNotes, journaledNotes } from './guest_journal.js';

const database = new Dexie(GUEST_DATABASE, { chromeTransactionDurability: 'strict' });
database.version(1).stores({ seat: 'table, opened_ms', answer: 'id, table' });
database.version(2).stores({ former: 'table' });

/** For so long a phone remembers who it was at a table that it left; answers stay with the leader no longer either. */
const REMEMBERED_MS = 30 * 86_400_000;

/**
 * Run one transaction, on a new connection if the system has closed the old one.
 * @template T
 * @param {'r' | 'rw'} mode
 * @param {(tables: { seat: import('../../vendor/dexie.js').Table<Seat, string>, answer:
 *   import('../../vendor/dexie.js').Table<Answer, string>, former:
 *   import('../../vendor/dexie.js').Table<Former, string> }) => Promise<T>} work must be idempotent
 * @returns {Promise<T>}
 */
async function transaction(mode, work) {
  const run = () =>
    database.transaction(mode, ['seat', 'answer', 'former'], async () =>
      work({ seat: database.table('seat'), answer: database.table('answer'), former: database.table('former') }),
    );
  try {
    return await run();
  } catch (error) {
    if (!isConnectionLost(error)) throw storeError(error);
    database.close({ disableAutoOpen: false });
    return run();
  }
}

/** @param {string} table @returns {Promise<Seat | undefined>} */
export function readSeat(table) {
  return transaction('r', ({ seat }) => seat.get(table));
}

/** @returns {Promise<Seat[]>} the last opened first */
export function readSeats() {
  return transaction('r', ({ seat }) => seat.orderBy('opened_ms').reverse().toArray());
}

/** @param {Seat} seat */
export async function putSeat(seat) {
  await transaction('rw', ({ seat: seats }) => seats.put(seat));
}

/**
 * Put the seat of a guest who has joined in the place of the former one. The answers stay and are this guest's.
 * @param {Seat} seat
 */
export async function replaceSeat(seat) {
  await transaction('rw', async ({ seat: seats, answer, former }) => {
    const kept = await answer.where('table').equals(seat.table).toArray();
    await seats.put(seat);
    await answer.bulkPut(kept.map(toSendAgain));
    if ((await former.get(seat.table))?.id === seat.guest.id) await former.delete(seat.table);
  });
}

/**
 * @param {string} table
 * @param {(seat: Seat) => Partial<Seat>} change
 * @returns {Promise<Seat | null>} the changed seat; null if it was forgotten meanwhile
 */
export function changeSeat(table, change) {
  return transaction('rw', async ({ seat: seats }) => {
    const seat = await seats.get(table);
    if (!seat) return null;
    const changed = { ...seat, ...change(seat) };
    await seats.put(changed);
    return changed;
  });
}

/** Remove a table, all answers given there, and who this phone was. @param {string} table */
export async function forgetSeat(table) {
  await transaction('rw', async ({ seat, answer, former }) => {
    await Promise.all([seat.delete(table), former.delete(table)]);
    await answer.where('table').equals(table).delete();
  });
}

/** Remove a table and all answers given there, but remember who this phone was. @param {string} table */
export async function leaveSeat(table) {
  await transaction('rw', async ({ seat, answer, former }) => {
    const left = await seat.get(table);
    if (!left) return;
    const { guest, given = guest.name, key, taken } = left;
    await former.put({ table, id: guest.id, key, names: [given, guest.name], taken, left_ms: Date.now() });
    await seat.delete(table);
    await answer.where('table').equals(table).delete();
  });
}

/** @param {string} table @returns {Promise<Former | undefined>} who this phone was; those long ago are removed */
export function readFormer(table) {
  return transaction('rw', async ({ former }) => {
    await former.filter(({ left_ms }) => left_ms < Date.now() - REMEMBERED_MS).delete();
    return former.get(table);
  });
}

/** @param {string} table @returns {Promise<Answer[]>} with those that a closed page had not committed yet */
export function readAnswers(table) {
  const left = journaledNotes();
  return transaction(left.length ? 'rw' : 'r', async ({ seat, answer }) => {
    for (const note of left) if (await seat.get(note.table)) await putNote(answer, note);
    return answer.where('table').equals(table).toArray();
  }).then((answers) => {
    journalNotes(left, []);
    return answers;
  });
}

/** @typedef {{ table: string, glass: string, field: string, value: any, ms: number }} Note */

/**
 * Keep a note, unless another page of this phone has left the table. It is in localStorage when this returns and in the
 * database when the promise resolves.
 * @param {Note} note
 */
export async function keepNote(note) {
  journalNotes([], [note]);
  await transaction('rw', async ({ seat, answer }) => {
    if (await seat.get(note.table)) await putNote(answer, note);
  });
  journalNotes([note], []);
}

/** @param {import('../../vendor/dexie.js').Table<Answer, string>} answers @param {Note} note */
async function putNote(answers, { table, glass, field, value, ms }) {
  const empty = emptyAnswer(table, glass, field);
  await answers.put(noted((await answers.get(empty.id)) ?? empty, { value, ms }));
}

/**
 * @param {string[]} ids
 * @param {(answer: Answer) => Answer} change
 * @returns {Promise<Answer[]>} the changed answers
 */
export function changeAnswers(ids, change) {
  return transaction('rw', async ({ answer }) => {
    const found = (await answer.bulkGet(ids)).filter((one) => one !== undefined);
    const changed = found.map(change);
    await answer.bulkPut(changed);
    return changed;
  });
}
