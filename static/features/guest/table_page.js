// A table at which this phone sits: keeps it current, and shows what the guest does now.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { startLink } from '../../domain/guest/guest_link.js';
import { closeSeat, openSeat, seat } from '../../domain/guest/seat_state.js';
import { useLazy } from '../shell/lazy.js';
import { GuestPage } from './guest_page.js';
import { TastePage } from './taste_page.js';

const afterPage = () => import('./after_page.js').then(({ AfterPage }) => AfterPage);

/** @param {{ table: string }} props */
export function TablePage({ table }) {
  const [isRead, setRead] = useState(false);
  useEffect(() => {
    const link = startLink(table);
    openSeat(table)
      .catch(() => null)
      .then(() => setRead(true));
    return () => {
      link.stop();
      closeSeat();
    };
  }, [table]);
  const open = seat.value?.table === table ? seat.value : null;
  const view = open?.view;
  const isOver = open !== null && (open.state !== 'in' || Boolean(view?.['table']?.ended_at));
  if (isOver) return html`<${After} />`;
  if (open && view?.['table']) return html`<${TastePage} open=${open} />`;
  return html`<${GuestPage} title=${t('guest.welcome')} hasStatus=${Boolean(open)}>
    ${
      isRead &&
      !open &&
      html`<p class="voice guide">${t('guest.unknown_table')}</p>
      <a class="button" href="#/guest">${t('guest.other_code')}</a>`
    }
    ${open && html`<p class="voice guide">${t('guest.coming')}</p>`}
  <//>`;
}

function After() {
  const AfterPage = useLazy(afterPage);
  return AfterPage ? html`<${AfterPage} />` : html`<${GuestPage} title=${t('guest.welcome')} />`;
}
