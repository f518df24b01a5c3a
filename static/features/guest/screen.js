// The screen of a guest: #/guest/<secret or code> or <id of a table>, #/guest to type a code, #/guest/flight to scan a
// table without a network.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { seatOfInvitation } from '../../domain/guest/join_table.js';
import { useLazy } from '../shell/lazy.js';
import { GuestPage } from './guest_page.js';
import { CodePage } from './code_page.js';
import { WelcomePage } from './welcome_page.js';
import { TablePage } from './table_page.js';

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
/** Codes have six characters, secrets at least 22. */
const LONGEST_CODE = 12;

const flightPage = () => import('./flight_page.js').then(({ FlightPage }) => FlightPage);

/** @param {{ path: string[] }} props */
export function Screen({ path: [name = ''] }) {
  if (!name) return html`<${CodePage} />`;
  if (name === 'flight') return html`<${Flight} />`;
  if (UUID.test(name)) return html`<${TablePage} key=${name} table=${name} />`;
  return html`<${Invited} key=${name} text=${name} />`;
}

function Flight() {
  const FlightPage = useLazy(flightPage);
  return FlightPage ? html`<${FlightPage} />` : html`<${GuestPage} title=${t('guest.no_network')} />`;
}

/** @param {{ text: string }} props secret or code of the address */
function Invited({ text }) {
  const [known, setKnown] = useState(/** @type {{ table: string | null } | null} */ (null));
  const invitation = invitationOf(text);
  useEffect(() => {
    seatOfInvitation(invitation).then(
      (seat) => setKnown({ table: seat && !['left', 'removed'].includes(seat.state) ? seat.table : null }),
      () => setKnown({ table: null }),
    );
  }, []);
  if (!known) return html`<${GuestPage} title=${t('guest.welcome')} />`;
  return known.table
    ? html`<${TablePage} table=${known.table} />`
    : html`<${WelcomePage} invitation=${invitation} onJoined=${(/** @type {string} */ table) => {
        navigate(`/guest/${table}`, { replace: true });
      }} />`;
}

/** @param {string} text @returns {Record<string, string>} */
function invitationOf(text) {
  return text.length > LONGEST_CODE ? { secret: text } : { code: text.toUpperCase() };
}
