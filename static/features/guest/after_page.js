// After the tasting: what the table liked, every glass with its label, and the guest's own notes to take away.
import { html, useEffect } from '../../lib/ui.js';
import { useTop } from '../../components/layout/use_top.js';
import { t } from '../../i18n.js';
import { timestamp } from '../../lib/datetime.js';
import { endedView, glassesOf } from '../../domain/guest/place.js';
import { seat } from '../../domain/guest/seat_state.js';
import { addTyped } from '../../domain/guest/typed_words.js';
import { Ending } from './ending.js';
import { glassName, GlassRow } from './glass_row.js';
import { GlassOverview } from './glass_overview.js';
import { GuestPage } from './guest_page.js';
import { OwnNotes } from './own_notes.js';
import { StepView } from './step_view.js';
import { TableMenu } from './table_menu.js';
import { TakeAway } from './take_away.js';
import { go, whereOf } from './where.js';

/** @typedef {import('../../domain/guest/guest_store.js').Seat} Seat */

/** @param {{ path: string[] }} props */
export function AfterPage({ path }) {
  const open = seat.value;
  useTop(`after/${path.join('/')}`);
  useEffect(() => {
    // Nothing is written here any more.
    addTyped(() => false);
  }, []);
  if (!open) return null;
  const { table } = open;
  const view = endedView(open.view, timestamp());
  const { page, shown } = whereOf(path, view);
  const glass = glassesOf(view).find(({ id }) => id === shown?.glass);
  const title = glass ? glassName(glass) : view['table']?.name || t('guest.welcome');
  const choose = (/** @type {import('./where.js').Shown | null} */ next) => go(table, next);
  return html`<${GuestPage} title=${title}>
    <${GlassRow} view=${view} current=${glass?.id ?? ''} open=""
      onChoose=${(/** @type {string} */ id) => choose({ glass: id, step: null })} />
    ${(glass || page === 'notes') && html`<p class="notice" role="status">${whyOver(open)}</p>`}
    ${glass && shown?.step && html`<${StepView} view=${view} glass=${glass} step=${shown.step} onChoose=${choose} />`}
    ${glass && !shown?.step && html`<${GlassOverview} view=${view} glass=${glass} onChoose=${choose} />`}
    ${page === 'notes' && html`<${OwnNotes} open=${open} />`}
    ${
      (glass || page === 'notes') &&
      html`<button type="button" class="button" onClick=${() => choose(null)}>
      ${t('guest.to_end')}</button>`
    }
    ${!glass && page !== 'notes' && html`<${LastPage} open=${open} />`}
  <//>`;
}

/** @param {Seat} open @returns {string} why nothing can be noted any more */
function whyOver({ view, state }) {
  const key = state === 'removed' || state === 'left' ? state : 'ended';
  return t(`guest.${key}`, { leader: view['table']?.leader_name || t('guest.the_leader') });
}

/** @param {{ open: Seat }} props */
function LastPage({ open }) {
  const { view, origin } = open;
  return html`<p class="voice guide">${whyOver(open)}</p>
    ${view['results'] && html`<${Ending} open=${open} />`}
    <section class="guest-part"><h2>${t('guest.take_away')}</h2><${TakeAway} open=${open} /></section>
    <${TableMenu} isByCodes=${origin === 'qr'} hasNotes=${true} />
    <p class="guest-part soft small">${t('pour.caution')}</p>`;
}
