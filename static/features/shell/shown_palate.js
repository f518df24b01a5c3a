// Whose palate is shown: the owner's, that of the example's taster, or none while the right one is learned.
import { computed } from '../../lib/ui.js';
import { liveSignal } from '../../store/queries.js';
import { palate } from '../../store/palate_cache.js';
import { readTaster } from '../../store/tasters.js';

/** @type {import('../../lib/ui.js').ReadonlySignal<import('../../store/tasters.js').Taster | null>} */
const taster = liveSignal(readTaster, null);

/**
 * 'learning' while the document was learned from other ratings than the notebook now has: after the example was shown
 * or removed, and after the first rating.
 * @type {import('../../lib/ui.js').ReadonlySignal<'own' | 'example' | 'learning'>}
 */
export const shownPalate = computed(() => {
  const document = palate.value;
  const expected = taster.value;
  // A document of an older server does not say whose it is.
  if (typeof document?.example !== 'boolean') return 'own';
  const learned = document.example ? 'example' : document.n_rated > 0 ? 'own' : 'none';
  if (expected !== null && learned !== expected) return 'learning';
  return document.example ? 'example' : 'own';
});
