// The triangle test on this phone, and how its result gets into a visit.
import { localState } from '../../store/local_state.js';
import { saveTriangle, visitForTriangle } from '../../domain/blind/triangle_store.js';
import { scoreOf } from './triangle_rounds.js';

/**
 * @typedef {{ names: [string | null, string | null], planned: number, rounds: import('./triangle_rounds.js').Round[],
 *   handed: boolean, visit?: string | null }} Triangle handed: the phone was handed to the taster; visit: where the
 *   result is saved
 */

export const triangle = localState(
  'triangle',
  /** @returns {value is Triangle} */ (/** @type {unknown} */ value) =>
    Array.isArray(/** @type {any} */ (value)?.rounds),
);

/** @param {Triangle} now @returns {Triangle} a new test of the same wines */
export function afresh(now) {
  return { ...now, rounds: [], handed: false, visit: null };
}

/** @type {WeakMap<Triangle['rounds'], Promise<string>>} the visit of a result that is being saved, or was */
const saving = new WeakMap();

/**
 * Save the result once, even if the app was closed after the last answer.
 * @param {Triangle} now
 * @returns {Promise<string>} the visit that has it
 */
export function saveOnce(now) {
  const saved = saving.get(now.rounds) ?? saveResult(now);
  saving.set(now.rounds, saved);
  saved.catch(() => saving.delete(now.rounds));
  return saved;
}

/** @param {Triangle} now @returns {Promise<string>} */
async function saveResult(now) {
  const visit = now.visit ?? (await visitForTriangle());
  if (!now.visit && triangle.peek() === now) await triangle.set({ ...now, visit });
  await saveTriangle(visit, { names: now.names, score: scoreOf(now.rounds) });
  return visit;
}

/** Begin another test. The rounds stay until their result is saved. @param {Triangle} now */
export async function startAgain(now) {
  await saveOnce(now);
  if (triangle.peek()?.rounds === now.rounds) await triangle.set(afresh(now));
}
