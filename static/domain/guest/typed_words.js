// Own words that a guest has typed and not added yet, in localStorage with the times of the letters. When their step is
// not shown any more they are added as if at those times: a step that closed meanwhile takes what stood there before.
import { GUEST_DATABASE } from '../../store/database_name.js';
import { aromaIds } from '../aroma/entry.js';
import { typedEntry } from '../aroma/find.js';
import { current } from './answers.js';
import { serverTime } from './clock.js';
import { answersByGlass, note, seat, valuesOfGlass } from './seat_state.js';

/** @typedef {{ text: string, ms: number }} Typed */

/** Letters that follow each other faster count as one. */
const SAME_MS = 500;
const MAX_KEPT = 30;

const PREFIX = `${GUEST_DATABASE}.typed.`;

/** @param {string} glass @param {string} field */
const keyOf = (glass, field) => `${PREFIX}${seat.peek()?.table}/${glass}/${field}`;

/** @param {string} key @returns {Typed[]} oldest first */
function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key) ?? '[]');
  } catch {
    return [];
  }
}

/** @param {string} glass @param {string} field @returns {string} */
export function typedText(glass, field) {
  return read(keyOf(glass, field)).at(-1)?.text ?? '';
}

/** @param {string} glass @param {string} field @param {string} text */
export function keepTyped(glass, field, text) {
  const key = keyOf(glass, field);
  const now = { text, ms: serverTime(seat.peek()?.clock) };
  const before = read(key);
  const [last] = before.slice(-1);
  if (last && before.length > 1 && now.ms - last.ms < SAME_MS) before.pop();
  if (before.length >= MAX_KEPT) before.splice(1, 1);
  try {
    if (!text.trim()) localStorage.removeItem(key);
    else localStorage.setItem(key, JSON.stringify([...before, now]));
  } catch {
    // Without localStorage the words are in the open field only.
  }
}

/**
 * Add what was typed at the open table.
 * @param {(glass: string, field: string) => boolean} isShown where somebody may still be typing
 */
export async function addTyped(isShown) {
  for (const key of typedKeys(seat.peek()?.table)) {
    const [glass = '', field = ''] = key.slice(PREFIX.length).split('/').slice(1);
    if (isShown(glass, field)) continue;
    const noted = valuesOfGlass(glass)[field] ?? [];
    const answer = (answersByGlass().get(glass) ?? []).find((each) => each.field === field);
    let last = (answer && current(answer)?.ms) ?? 0;
    for (const { text, ms } of read(key)) {
      const entry = typedEntry(text);
      if (!entry || aromaIds(noted).includes(entry)) continue;
      // Not before what was noted last, which it must not replace.
      last = Math.max(ms, last + 1);
      await note(glass, field, [...noted, entry], last);
    }
    localStorage.removeItem(key);
  }
}

/** @param {string} table that this phone forgets */
export function dropTyped(table) {
  for (const key of typedKeys(table)) localStorage.removeItem(key);
}

/** @param {string | undefined} table @returns {string[]} */
function typedKeys(table) {
  try {
    const of = `${PREFIX}${table}/`;
    return Object.keys(localStorage).filter((key) => key.startsWith(of));
  } catch {
    return [];
  }
}
