/** Reload when another tab erases the notebook: what this one still shows would be saved again. */
import { sentinelKey } from '../store/persistence.js';

export function watchErasure() {
  addEventListener('storage', ({ key, newValue }) => {
    if (key === sentinelKey && newValue === null) location.reload();
  });
}
