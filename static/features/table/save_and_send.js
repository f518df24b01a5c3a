// Saves what guests wait for, and sends it at once instead of after the usual delay.
import { saveMany } from '../../store/write.js';
import { syncNow } from '../../sync/index.js';

/** @param {Parameters<typeof saveMany>[0]} edits @returns {Promise<void>} once they are saved */
export async function saveAndSend(edits) {
  await saveMany(edits);
  syncNow();
}
