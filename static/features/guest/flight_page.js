// Joining without a network: the leader's phone shows the table as QR codes.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { ScanFrames } from '../../domain/table/qr_exchange.js';
import { viewOfFlight } from '../../domain/table/qr_documents.js';
import { joinByCodes } from '../../domain/guest/join_table.js';
import { GuestPage } from './guest_page.js';
import { AboutTable, NameForm } from './welcome_page.js';

export function FlightPage() {
  const [view, setView] = useState(/** @type {Record<string, any> | null} */ (null));
  const [isOther, setOther] = useState(false);
  const use = (/** @type {any} */ document) => {
    const found = viewOfFlight(document, Date.now());
    setOther(!found);
    if (found) setView(found);
  };
  if (!view)
    return html`<${GuestPage} title=${t('guest.no_network')}>
      <p class="voice guide">${t('guest.flight_how')}</p>
      ${isOther && html`<p class="field-error" role="alert">${t('guest.not_a_table')}</p>`}
      <${ScanFrames} onDocument=${use} />
      <a class="button plain" href="#/guest">${t('guest.other_code')}</a>
    <//>`;
  const { name, leader_name: leader, labels_hidden: labelsHidden, names_shown: namesShown } = view['table'];
  const submit = async (/** @type {string} */ given) => {
    navigate(`/guest/${await joinByCodes(view, given)}`, { replace: true });
  };
  return html`<${GuestPage} title=${name || t('guest.welcome')}>
    <${AboutTable} leader=${leader} glasses=${view['glasses'].length} labelsHidden=${labelsHidden}
      namesShown=${namesShown} keepsDays=${null} isByCodes=${true} />
    ${view['flight'].is_led && html`<p>${t('guest.codes_led', { leader: leader || t('guest.the_leader') })}</p>`}
    <${NameForm} onSubmit=${submit} />
  <//>`;
}
