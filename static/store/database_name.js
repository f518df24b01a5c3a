/**
 * Which of the books on this phone is open. Most phones hold one. When somebody else signs in on a phone that holds
 * another's
 * book, that book is put aside whole, in its own database, and theirs is opened beside it.
 */
const FIRST = 'secondnose';
const POINTER = 'secondnose.open';
const NAME = /^secondnose(?:-([0-9a-f]{20}))?$/;

/** @param {string} name of a database @returns {boolean} */
export function isOurDatabase(name) {
  return NAME.test(name);
}

/** @param {string} name @returns {string | null} the owner that the name itself binds the book to */
export function ownerFromName(name) {
  return NAME.exec(name)?.[1] ?? null;
}

/** @param {string} uid @returns {string} where a book beside the first one lies */
export function nameForOwner(uid) {
  return `${FIRST}-${uid}`;
}

/** @param {string} name @throws where the browser keeps no such notes: then the first book stays the open one */
export function setActiveDatabase(name) {
  localStorage.setItem(POINTER, name);
}

/** The first book is the open one again. */
export function forgetPointer() {
  try {
    localStorage.removeItem(POINTER);
  } catch {
    // Then there is none.
  }
}

/** @returns {string} */
function opened() {
  try {
    const name = localStorage.getItem(POINTER) ?? FIRST;
    return isOurDatabase(name) ? name : FIRST;
  } catch {
    return FIRST;
  }
}

/** The database of the book that this page has open, for as long as the page lives. */
export const databaseName = opened();
/** Where localStorage has the Book's first page as it was last seen, until a write to the book takes it away. */
export const snapshotKey = `${databaseName}.seen`;
/** How its keys begin under which it has what a page could not write before it went away. */
export const journalKey = `${databaseName}.unwritten.`;
/** Where it has the light that was chosen. */
export const themeKey = `${databaseName}.light`;

/** What was seen no longer is what the book holds. */
export function dropSnapshot() {
  try {
    localStorage.removeItem(snapshotKey);
  } catch {
    // Then nothing was kept either.
  }
}
