/** The notebooks on this phone that are not open. They are only read. */
import Dexie from '../vendor/dexie.js';
import { databaseName, isOurDatabase, ownerFromName } from './database_name.js';

/** @returns {Promise<string[]>} names of databases */
export async function otherNames() {
  const found = (await indexedDB.databases?.()) ?? [];
  return found.flatMap(({ name = '' }) => (isOurDatabase(name) && name !== databaseName ? [name] : []));
}

/**
 * @template T
 * @param {string} name of a database
 * @param {(book: import('../vendor/dexie.js').Dexie) => Promise<T>} read
 * @returns {Promise<T | null>} null: not there, not a notebook, or written by a newer release
 */
export async function readDatabase(name, read) {
  const book = new Dexie(name, { autoOpen: false });
  try {
    await book.open();
    return await read(book);
  } catch {
    return null;
  } finally {
    book.close();
  }
}

/**
 * @param {string} name of a database
 * @returns {Promise<import('./owner.js').Owner | null>} of a notebook that was never bound, whom its name tells
 */
export async function ownerOf(name) {
  const row = await readDatabase(name, async (book) => book.table('meta').get('owner'));
  if (row) return { uid: row.uid, name: row.owner_name };
  const uid = ownerFromName(name);
  return uid ? { uid, name: '' } : null;
}

/** @param {string} uid @returns {Promise<string[]>} the databases of this owner that are not open */
export async function otherDatabasesOf(uid) {
  const names = await otherNames();
  const owners = await Promise.all(names.map(ownerOf));
  return names.filter((_, at) => owners[at]?.uid === uid);
}

/** @param {string} uid @returns {Promise<string | null>} one of them, if there is any */
export async function otherDatabaseOf(uid) {
  return (await otherDatabasesOf(uid))[0] ?? null;
}
