// A guest's answers as QR codes for the leader's camera.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { ShowFrames } from '../../domain/table/qr_exchange.js';
import { sheetsDocument } from '../../domain/table/qr_documents.js';
import { glassesOf } from '../../domain/guest/place.js';
import { seat, valuesOfGlass } from '../../domain/guest/seat_state.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function CodesSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('guest.show_codes')} open=${open} onClose=${onClose}>
    ${open && html`<${Codes} />`}
  <//>`;
}

function Codes() {
  const open = seat.value;
  if (!open) return null;
  const sheets = glassesOf(open.view).map(({ id }) => /** @type {[string, any]} */ ([id, valuesOfGlass(id)]));
  return html`<p>${t('guest.codes_how', { leader: open.view['table']?.leader_name || t('guest.the_leader') })}</p>
    <${ShowFrames} document=${sheetsDocument(open.table, open.guest, sheets)} label=${t('guest.codes_label')} />`;
}
