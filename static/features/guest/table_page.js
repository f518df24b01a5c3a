// A table at which this phone sits: keeps it current, and shows what the guest does now.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { useTop } from '../../components/layout/use_top.js';
import { showToast } from '../../components/layout/toast.js';
import { startLink } from '../../domain/guest/guest_link.js';
import { closeSeat, openSeat, seat } from '../../domain/guest/seat_state.js';
import { useLazy } from '../shell/lazy.js';
import { ExitPage } from './exit_page.js';
import { GuestPage } from './guest_page.js';
import { TastePage } from './taste_page.js';
import { useExit } from './where.js';

const afterPage = () => import('./after_page.js').then(({ AfterPage }) => AfterPage);

/** @param {{ table: string, path?: string[] }} props path: within the table */
export function TablePage({ table, path = [] }) {
  const [isRead, setRead] = useState(false);
  useEffect(() => {
    const link = startLink(table, sayForgotten);
    openSeat(table)
      .catch(() => null)
      .then(() => setRead(true));
    return () => {
      link.stop();
      closeSeat();
    };
  }, [table]);
  // A phone that is still joining does not sit here.
  const open = seat.value?.table === table && seat.value.state !== 'joining' ? seat.value : null;
  useExit(table, path, open !== null);
  const view = open?.view;
  const isOver = open !== null && (open.state !== 'in' || Boolean(view?.['table']?.ended_at));
  useTop(String(isOver));
  if (open && path[0] === 'exit') return html`<${ExitPage} open=${open} />`;
  if (isOver) return html`<${After} path=${path} />`;
  if (open && view?.['table']) return html`<${TastePage} open=${open} path=${path} />`;
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

function sayForgotten() {
  showToast(t('guest.left_forgotten'));
  navigate('/guest', { replace: true });
}

/** @param {{ path: string[] }} props */
function After({ path }) {
  const AfterPage = useLazy(afterPage);
  return AfterPage ? html`<${AfterPage} path=${path} />` : html`<${GuestPage} title=${t('guest.welcome')} />`;
}
