// Where a guest types the short code, goes back to a table, or scans one without a network.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { TextField } from '../../components/form/field.js';
import { ArrowRow } from '../../components/layout/row.js';
import { SeatList } from '../../domain/guest/seat_list.js';
import { GuestPage } from './guest_page.js';

const CODE_LENGTH = 6;

export function CodePage() {
  const [typed, setTyped] = useState(/** @type {string | null} */ (null));
  const code = (typed ?? '').toUpperCase().replace(/[^0-9A-Z]/g, '');
  const go = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (code.length === CODE_LENGTH) navigate(`/guest/${code}`);
  };
  return html`<${GuestPage} title=${t('guest.code_title')}>
    <form onSubmit=${go}>
      <p class="voice guide">${t('guest.code_how')}</p>
      <div class="guest-code"><${TextField} label=${t('guest.code')} value=${typed} onChange=${setTyped}
        autocapitalize="characters" maxLength=${CODE_LENGTH + 2} autofocus=${true} className="name-input" /></div>
      <div class="buttons"><button class="button primary" disabled=${code.length !== CODE_LENGTH}>
        ${t('guest.code_go')}</button></div>
    </form>
    <${SeatList} title=${t('guest.your_tables')} className="guest-part" />
    <section class="guest-part"><${ArrowRow} className="ruled-row" href="#/guest/flight" name=${t('guest.no_network')}
      line=${t('guest.no_network_line')} />
      <${ArrowRow} className="ruled-row" href="#/book" name=${t('guest.to_app')} line=${t('guest.to_app_line')} />
    </section>
  <//>`;
}
