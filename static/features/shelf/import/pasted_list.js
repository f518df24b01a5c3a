// The list being imported, with what was corrected in its preview. It is kept while the app is open, until it was added
// or its text was cleared.
import { computed, signal } from '../../../lib/ui.js';
import { bottlesById } from '../../../store/queries.js';
import { defaults } from '../list/shelf_state.js';
import { addRows } from './add_rows.js';
import { appendList } from './csv.js';
import { addedAfter, leftOver, readList, withStyles } from './read_list.js';

/** @typedef {import('./import_rows.js').Column} Column */
/** @typedef {import('./list_photo.js').ReadList} ReadList */
/**
 * @typedef {{ text: string, chosen: Record<number, Column>, corrected: Record<number, string | null>, lists: ReadList[]
 *   }} PastedList `chosen` columns and `corrected` styles, by line; `lists` read from photos
 */

const EMPTY = /** @type {PastedList} */ ({ text: '', chosen: {}, corrected: {}, lists: [] });

export const pasted = signal(EMPTY);

export const pastedRows = computed(() => {
  const { text, chosen, corrected } = pasted.value;
  return withStyles(readList(text, chosen, defaults.value), corrected);
});

/** Replace the text. What was corrected belongs to the earlier one. @param {string} text */
export function setText(text) {
  pasted.value = { ...EMPTY, text, lists: text.trim() ? pasted.peek().lists : [] };
}

/** @param {ReadList} list */
export function addPhotoList(list) {
  const { text, lists } = pasted.peek();
  pasted.value = { ...EMPTY, text: appendList(text, list.text), lists: [...lists, list] };
}

/** @param {number} at @param {Column} column */
export function chooseColumn(at, column) {
  const now = pasted.peek();
  pasted.value = { ...now, chosen: { ...now.chosen, [at]: column } };
}

/** @param {number} line @param {string | null} style */
export function correctStyle(line, style) {
  const now = pasted.peek();
  pasted.value = { ...now, corrected: { ...now.corrected, [line]: style } };
}

let isAdding = false;

/**
 * Add the valid rows. Only the text of the others stays, and what was entered meanwhile.
 * @returns {Promise<Awaited<ReturnType<typeof addRows>> | null>} null if an earlier press is still adding them
 */
export async function addPasted() {
  if (isAdding) return null;
  isAdding = true;
  try {
    const { text } = pasted.peek();
    const read = pastedRows.peek();
    const added = await addRows(read.valid, [...(await bottlesById()).values()]);
    // The text may have been edited, or a photo read, while the rows were added.
    const more = addedAfter(text, pasted.peek().text);
    if (more !== null) setText(leftOver(text, read, more));
    return added;
  } finally {
    isAdding = false;
  }
}
