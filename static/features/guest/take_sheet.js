// The guest's own notes in a sheet, while the tasting goes on.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { seat } from '../../domain/guest/seat_state.js';
import { TakeAway } from './take_away.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function TakeSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('guest.take_away')} open=${open} onClose=${onClose}>
    ${open && seat.value && html`<${TakeAway} open=${seat.value} />`}
  <//>`;
}
