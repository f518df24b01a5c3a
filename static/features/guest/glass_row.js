// The glasses of the table as letters in a row; each leads to its page.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { glassesOf, glassMark } from '../../domain/guest/place.js';
import { hasAnyAnswer } from '../../domain/table/steps.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';

/** @typedef {import('../../domain/guest/place.js').GuestGlass} GuestGlass */

/** @param {GuestGlass} glass */
export function glassName(glass) {
  return t('guest.glass', { mark: glassMark(glass) });
}

/**
 * @param {{ view: import('../../domain/guest/guest_store.js').View, current: string, open: string, onChoose: (id:
 *   string) => void }} props
 */
export function GlassRow({ view, current, open, onChoose }) {
  return html`<nav class="guest-glasses" aria-label=${t('guest.glasses_row')}>${glassesOf(view).map((glass) => {
    const state = stateOf(glass, open);
    return html`<button type="button" key=${glass.id} aria-current=${glass.id === current ? 'true' : undefined}
        data-state=${state} aria-label=${`${glassName(glass)}, ${t(`guest.glass_${state}`)}`}
        onClick=${() => onChoose(glass.id)}>
      <span class="name">${glass.mark || glass.position}</span><span class="guest-mark" aria-hidden="true"></span>
    </button>`;
  })}</nav>`;
}

/** @param {GuestGlass} glass @param {string} open */
function stateOf({ id, uncovered, discussed }, open) {
  if (uncovered) return 'uncovered';
  if (discussed) return 'talk';
  if (id === open) return 'open';
  return hasAnyAnswer(valuesOfGlass(id)) ? 'noted' : 'empty';
}
