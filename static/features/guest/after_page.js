// After the tasting: every glass with its label, and the guest's own notes to take away.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { glassesOf } from '../../domain/guest/place.js';
import { seat } from '../../domain/guest/seat_state.js';
import { glassName, GlassRow } from './glass_row.js';
import { GlassOverview } from './glass_overview.js';
import { GuestPage } from './guest_page.js';
import { StepView } from './step_view.js';
import { TableMenu } from './table_menu.js';
import { TakeAway } from './take_away.js';

/** @typedef {import('../../domain/guest/guest_store.js').Seat} Seat */

export function AfterPage() {
  const open = seat.value;
  const [chosen, setChosen] = useState(/** @type {import('./taste_page.js').Shown | null} */ (null));
  if (!open) return null;
  const { view, state } = open;
  const glass = glassesOf(view).find(({ id }) => id === chosen?.glass);
  const title = glass ? glassName(glass) : view['table']?.name || t('guest.welcome');
  const choose = (/** @type {import('./taste_page.js').Shown | null} */ next) => {
    setChosen(next);
    scrollTo(0, 0);
  };
  return html`<${GuestPage} title=${title}>
    <${GlassRow} view=${view} current=${glass?.id ?? ''} open=""
      onChoose=${(/** @type {string} */ id) => choose({ glass: id, step: null })} />
    ${glass && chosen?.step && html`<${StepView} view=${view} glass=${glass} step=${chosen.step} onChoose=${choose} />`}
    ${glass && !chosen?.step && html`<${GlassOverview} view=${view} glass=${glass} onChoose=${choose} />`}
    ${glass && html`<button type="button" class="button" onClick=${() => choose(null)}>${t('guest.to_end')}</button>`}
    ${
      !glass &&
      html`<p class="voice guide">${t(endKey(state), {
        leader: view['table']?.leader_name || t('guest.the_leader'),
      })}</p>
      <section class="guest-part"><h2>${t('guest.take_away')}</h2><${TakeAway} open=${open} /></section>
      <${TableMenu} isByCodes=${open.origin === 'qr'} />`
    }
  <//>`;
}

/** @param {Seat['state']} state */
function endKey(state) {
  return state === 'removed' ? 'guest.removed' : 'guest.ended';
}
