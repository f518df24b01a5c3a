// Keeps a small state the same in two tabs that show it, because the next change would overwrite that of the other.
import { effect } from '../vendor/signals-core.js';
import { db } from './database.js';
import { liveSignal } from './queries.js';

/** @param {import('./local_state.js').LocalState<any>} state @returns {() => void} ends it */
export function followState(state) {
  const stored = liveSignal(() => db.meta.get(state.name), undefined);
  return effect(() => {
    if (stored.value) state.restore().catch((error) => console.error(error));
  });
}
