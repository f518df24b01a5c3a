/**
 * Selects which notebook on this phone is open. Most phones have one. If another owner signs in,
 * the first notebook stays in its database, and the other owner gets one of their own, named after
 * them. A number names one that nobody owned when it was created, beside the first one of an owner.
 */
export const FIRST_DATABASE = 'secondnose';
/** What a guest of somebody's table noted on this phone, apart from any notebook. */
export const GUEST_DATABASE = 'secondnose_guest';
/** Key in localStorage of the name of the open database. */
export const POINTER = 'secondnose.open';
const NAME = /^secondnose(?:-(?:\d{1,3}|([0-9a-f]{20})))?$/;

/**
 * @param {string} name of a database
 * @returns {boolean}
 */
export function isOurDatabase(name) {
  return NAME.test(name);
}

/**
 * @param {string} name
 * @returns {string | null} the owner's id in the name
 */
export function ownerFromName(name) {
  return NAME.exec(name)?.[1] ?? null;
}

/**
 * @param {string} uid
 * @returns {string} name of the database of another owner
 */
export function nameForOwner(uid) {
  return `${FIRST_DATABASE}-${uid}`;
}

/**
 * @param {string} name
 * @throws without localStorage; the first database stays active
 */
export function setActiveDatabase(name) {
  localStorage.setItem(POINTER, name);
}

/** @returns {string} */
function opened() {
  try {
    const name = localStorage.getItem(POINTER) ?? FIRST_DATABASE;
    return isOurDatabase(name) ? name : FIRST_DATABASE;
  } catch {
    return FIRST_DATABASE;
  }
}

/** The database of this page, fixed while the page is open. */
export const databaseName = opened();
/** Key in localStorage of the snapshot of the notebook's first page. A write removes it. */
export const snapshotKey = `${databaseName}.seen`;
/** Key in localStorage of that page without its tastings, from which the snapshot is made again. */
export const frameKey = `${databaseName}.frame`;
/** Prefix of the keys in localStorage of the write-ahead journals. */
export const journalKey = `${databaseName}.unwritten.`;
/** Prefix of the keys in localStorage of this phone's own state that is not committed yet. */
export const stateKey = `${databaseName}.state.`;
/** Key in localStorage of the selected theme. */
export const themeKey = `${databaseName}.light`;

/** Marks a row of the snapshot whose tasting was written since. */
export const STALE = ',"stale":""';

/**
 * @param {string} seen a snapshot
 * @param {{ id: string }} written a record that was written since
 * @returns {string} with its row marked; empty if it has none, so that more of the page may be out of date
 */
export function markStale(seen, { id }) {
  const row = `"#/book/${id}"`;
  // A page without a frame has a notice about all tastings.
  if (!seen.includes(row) || !(frameKey in localStorage)) return '';
  return seen.includes(row + STALE) ? seen : seen.replace(row, row + STALE);
}

/**
 * Remove what is out of date of the snapshot, but only a row of it where that is all.
 * @param {string[]} keys
 * @param {readonly { id: string }[]} [written] the records that were written, if they are known
 */
export function dropSnapshot(keys, written = [{ id: '' }]) {
  try {
    const seen = localStorage.getItem(snapshotKey) ?? '';
    const marked = written.reduce(markStale, seen);
    if (marked && marked === seen) return;
    // First, because a full storage must not keep what is out of date.
    for (const key of keys) localStorage.removeItem(key);
    if (marked) localStorage.setItem(snapshotKey, marked);
  } catch {
    // Without localStorage there is no snapshot.
  }
}
