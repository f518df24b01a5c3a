/**
 * Sync state for the screens. The loop itself (index.js) is loaded after the first paint.
 *
 * @typedef {import('../store/record.js').Kind} Kind
 */
import { computed, signal } from '../vendor/signals-core.js';
import { storageState } from '../store/persistence.js';

/** @typedef {'idle' | 'syncing' | 'waiting' | 'signin' | 'apart' | 'update'} Phase */

/**
 * @type {import('../vendor/signals-core.js').Signal<{ phase: Phase, progress: { done: number, total: number } | null
 *   }>}
 */
export const activity = signal({ phase: 'idle', progress: null });

const BLOCKED = ['signin', 'apart', 'update'];

export const counts = signal({
  unsent: 0,
  notes: 0,
  changes: 0,
  onlyHere: { notes: 0, changes: 0 },
  photos: 0,
  rejected: /** @type {{ kind: Kind, id: string, errors: import('../store/validate.js').FieldErrors }[]} */ ([]),
  lastSynced: /** @type {string | null} */ (null),
  cursor: 0,
  rewoundAt: /** @type {string | null} */ (null),
});

/**
 * phase: idle; syncing; waiting (retried automatically); signin (waits for sign-in); apart (two
 * notebooks of one owner wait to be joined); update (the server uses a newer format: reload).
 * isBlocked: it waits for the user. unsent: number of records to send; notes, changes: tastings
 * and other records among them, without deletions, the example and what comes with another record.
 * rejected: records that the server rejected; onlyHere: both together. photos: photos not uploaded.
 * progress: counts during a round. persisted: whether the browser promised to keep the data.
 * rewoundAt: when the server was last found restored or replaced, until the user has read it.
 * cursor: last sequence number that was read, which every change of the notebook moves.
 */
export const syncStatus = computed(() => ({
  ...activity.value,
  isBlocked: BLOCKED.includes(activity.value.phase),
  ...counts.value,
  persisted: storageState.value.persisted,
}));
