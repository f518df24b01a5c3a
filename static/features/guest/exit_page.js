// Under the table's first view: the back button comes here, and one more tap leaves the page or the table.
import { html } from '../../lib/ui.js';
import { useTop } from '../../components/layout/use_top.js';
import { t } from '../../i18n.js';
import { ArrowRow } from '../../components/layout/row.js';
import { GuestPage } from './guest_page.js';
import { TableMenu } from './table_menu.js';
import { go } from './where.js';

/** @param {{ open: import('../../domain/guest/guest_store.js').Seat }} props */
export function ExitPage({ open: { table, view, origin } }) {
  useTop('exit');
  const leader = view['table']?.leader_name || t('guest.the_leader');
  return html`<${GuestPage} title=${view['table']?.name || t('guest.welcome')} hasStatus=${true}>
    <p class="voice guide">${t('guest.exit', { leader })}</p>
    <div class="buttons"><button type="button" class="button primary" onClick=${() => go(table, null)}>
      ${t('guest.exit_back')}</button></div>
    <section class="guest-part"><${ArrowRow} className="ruled-row" href="#/guest" name=${t('guest.exit_away')}
      line=${t('guest.exit_away_line')} /></section>
    <${TableMenu} isByCodes=${origin === 'qr'} />
  <//>`;
}
