// Preferred alcohol, in one line that opens the filters.
import { html, useSignalEffect } from '../../../lib/ui.js';
import { abv } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { savePreferredAbv, preferred } from './shelf_state.js';

/** @param {{ openFilter: () => void }} props */
export function AbvFilter({ openFilter }) {
  useSignalEffect(savePreferredAbv);
  const { low, high } = preferred.value;
  return html`<button type="button" class="wanted-words" onClick=${openFilter}>
    <span class="soft small">${t('shelf.wanted')}</span>
    <span class="name">${preferredText(low, high)}</span>
  </button>`;
}

/** @param {number | null} low @param {number | null} high */
export function preferredText(low, high) {
  if (low !== null && high !== null) return t('shelf.wanted_between', { low: abv(low), high: abv(high) });
  if (high !== null) return t('shelf.wanted_upto', { high: abv(high) });
  return low !== null ? t('shelf.wanted_from', { low: abv(low) }) : t('shelf.wanted_any');
}
