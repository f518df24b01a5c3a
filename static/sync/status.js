/**
 * What a screen may know of the sync loop. The loop itself (sync.js) is fetched after the first screen is painted.
 *
 * @typedef {import('../store/record.js').Kind} Kind
 */
import { computed, signal } from '../vendor/signals-core.js';
import { storageState } from '../store/persistence.js';

/** @typedef {'idle' | 'syncing' | 'waiting' | 'signin' | 'update'} Phase */

/**
 * @type {import('../vendor/signals-core.js').Signal<{ phase: Phase, progress: { done: number, total: number } | null
 *   }>}
 */
export const activity = signal({ phase: 'idle', progress: null });

export const counts = signal({
  unsent: 0,
  notes: 0,
  photos: 0,
  refused: /** @type {{ kind: Kind, id: string, errors: import('../store/validate.js').FieldErrors }[]} */ ([]),
  lastSynced: /** @type {string | null} */ (null),
  rewoundAt: /** @type {string | null} */ (null),
});

/**
 * phase: idle; syncing; waiting (no server just now, tried again by itself); signin (held until somebody signs in);
 * update
 * (the server speaks a newer format: load the new version). unsent: records that wait to go up; notes: the same as
 * a taster
 * counts, tastings, or records where none of them is a tasting. photos: pictures that the server does not have.
 * refused: records that the server does not take until they are
 * mended; they are on this phone only, like the unsent ones. progress: counts while records move. persisted:
 * whether the browser promised to keep the book. rewoundAt: when the server was last found restored
 * or replaced, until that has been read.
 */
export const syncStatus = computed(() => ({
  ...activity.value,
  ...counts.value,
  persisted: storageState.value.persisted,
}));
