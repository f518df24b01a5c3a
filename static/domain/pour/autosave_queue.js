// Autosave: writes changes at once, one transaction after the other. Changes made during a write
// are merged; the last value of a field wins.
import { signal } from '../../lib/ui.js';
import { flushJournal, tryJournal, registerPending } from '../../store/write_journal.js';
import { commitEdits } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Kind} Kind */
/** @typedef {{ kind: Kind, id: string, fields: Record<string, any>, deleted?: boolean }} Change */

/**
 * Code of the error that prevents saving, or null. Unsaved changes are tried again with the next
 * change.
 */
export const saveError = signal(/** @type {string | null} */ (null));

/** @type {Map<string, Change>} */
const waiting = new Map();
registerPending(() => [...waiting.values()]);
/** @type {Promise<void> | null} */
let writing = null;
/** @type {Change[]} */
let inFlight = [];

/** @param {Change[]} changes */
export function enqueue(changes) {
  add(changes);
  if (waiting.size)
    writing ??= flush().finally(() => {
      writing = null;
    });
}

/** @param {Change[]} changes newer values win over those that wait */
function add(changes) {
  for (const change of changes) {
    const key = `${change.kind}/${change.id}`;
    const older = waiting.get(key);
    waiting.set(key, { ...older, ...change, fields: { ...older?.fields, ...change.fields } });
  }
}

async function flush() {
  while (waiting.size) {
    inFlight = [...waiting.values()];
    waiting.clear();
    try {
      await commitEdits(inFlight);
      saveError.value = null;
    } catch (error) {
      saveError.value = /** @type {{ code?: string }} */ (error).code ?? 'unknown';
      const newer = [...waiting.values()];
      waiting.clear();
      add([...inFlight, ...newer]);
      // The page may be closed without an event.
      flushJournal();
      return;
    } finally {
      inFlight = [];
    }
  }
}

/** @param {Kind} kind @param {string} id @param {string} field */
export function isPending(kind, id, field) {
  const contains = (/** @type {Change} */ change) => change.kind === kind && change.id === id && field in change.fields;
  return inFlight.some(contains) || [...waiting.values()].some(contains);
}

/** Resolve when everything is saved, or when a save has failed. */
export function whenIdle() {
  return writing ?? Promise.resolve();
}

/** Try again to save. */
export function retry() {
  enqueue([]);
  tryJournal();
}
