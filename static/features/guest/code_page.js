// Where a guest types the short code, goes back to a table, or scans one without a network.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { date } from '../../lib/format.js';
import { TextField } from '../../components/form/field.js';
import { ArrowRow } from '../../components/layout/row.js';
import { readSeats } from '../../domain/guest/guest_store.js';
import { GuestPage } from './guest_page.js';

/** @typedef {import('../../domain/guest/guest_store.js').Seat} Seat */

const CODE_LENGTH = 6;

export function CodePage() {
  const [typed, setTyped] = useState(/** @type {string | null} */ (null));
  const [seats, setSeats] = useState(/** @type {Seat[]} */ ([]));
  useEffect(() => {
    readSeats().then(
      (found) => setSeats(found.filter(({ state }) => state === 'in' || state === 'over')),
      () => undefined,
    );
  }, []);
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
    ${
      seats.length > 0 &&
      html`<section class="guest-part"><h2>${t('guest.your_tables')}</h2><ul class="ruled">
      ${seats.map(
        (seat) => html`<li key=${seat.table}><${ArrowRow} href=${`#/guest/${seat.table}`}
        name=${seat.view['table']?.name || t('guest.welcome')}
        line=${date(new Date(seat.opened_ms).toISOString())} /></li>`,
      )}</ul></section>`
    }
    <section class="guest-part"><${ArrowRow} className="ruled-row" href="#/guest/flight" name=${t('guest.no_network')}
      line=${t('guest.no_network_line')} />
      <${ArrowRow} className="ruled-row" href="#/book" name=${t('guest.to_app')} line=${t('guest.to_app_line')} />
    </section>
  <//>`;
}
