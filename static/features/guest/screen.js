// The screen of a guest: #/guest/<secret or code> or <id of a table>/..., #/guest to type a code, #/guest/flight to
// scan a table without a network.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { isId } from '../../store/validators.js';
import { seatOfInvitation } from '../../domain/guest/join_table.js';
import { useLazy } from '../shell/lazy.js';
import { GuestPage } from './guest_page.js';
import { CodePage } from './code_page.js';
import { WelcomePage } from './welcome_page.js';
import { TablePage } from './table_page.js';

/** Codes have six characters, secrets at least 22. */
const LONGEST_CODE = 12;

const flightPage = () => import('./flight_page.js').then(({ FlightPage }) => FlightPage);

/** @param {{ path: string[] }} props */
export function Screen({ path: [name = '', ...path] }) {
  if (!name) return html`<${CodePage} />`;
  if (name === 'flight') return html`<${Flight} />`;
  if (isId(name)) return html`<${TablePage} key=${name} table=${name} path=${path} />`;
  return html`<${Invited} key=${name} text=${name} />`;
}

function Flight() {
  const FlightPage = useLazy(flightPage);
  return FlightPage ? html`<${FlightPage} />` : html`<${GuestPage} title=${t('guest.no_network')} />`;
}

/** @param {{ text: string }} props secret or code of the address */
function Invited({ text }) {
  const [isUnknown, setUnknown] = useState(false);
  const invitation = invitationOf(text);
  const { hash } = location;
  // The answer may come after the guest has opened another page.
  const sitDown = (/** @type {string} */ table) =>
    location.hash === hash && navigate(`/guest/${table}`, { replace: true });
  useEffect(() => {
    seatOfInvitation(invitation).then(
      (seat) => (seat && !['left', 'removed'].includes(seat.state) ? sitDown(seat.table) : setUnknown(true)),
      () => setUnknown(true),
    );
  }, []);
  if (!isUnknown) return html`<${GuestPage} title=${t('guest.welcome')} />`;
  return html`<${WelcomePage} invitation=${invitation} onJoined=${sitDown} />`;
}

/** @param {string} text @returns {Record<string, string>} */
function invitationOf(text) {
  return text.length > LONGEST_CODE ? { secret: text } : { code: text.toUpperCase() };
}
