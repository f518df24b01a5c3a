// A guest's answers as QR codes for the leader's camera.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { ShowFrames } from '../../domain/table/qr_exchange.js';
import { sheetsDocument } from '../../domain/table/qr_documents.js';
import { serverTime } from '../../domain/guest/clock.js';
import { glassesOf } from '../../domain/guest/place.js';
import { answersByGlass, seat, valuesOfGlass } from '../../domain/guest/seat_state.js';

/** @param {{ open: boolean, onClose: () => void }} props */
export function CodesSheet({ open, onClose }) {
  return html`<${Sheet} title=${t('guest.show_codes')} open=${open} onClose=${onClose}>
    ${open && html`<${Codes} />`}
  <//>`;
}

function Codes() {
  // Of the moment that the codes are first shown, because codes that change cannot be read.
  const [now_ms] = useState(() => serverTime(seat.peek()?.clock));
  const open = seat.value;
  if (!open) return null;
  const leader = open.view['table']?.leader_name || t('guest.the_leader');
  const byGlass = answersByGlass();
  const sheets = glassesOf(open.view).map(({ id }) => ({
    glass: id,
    fields: withoutDone(valuesOfGlass(id)),
    entries: new Map(
      (byGlass.get(id) ?? [])
        .filter(({ field }) => !field.startsWith('done_'))
        .map((answer) => [answer.field, entriesOf(answer)]),
    ),
  }));
  const document = sheetsDocument(open.table, open.guest, sheets, {
    now_ms,
    flight: open.view['flight'],
    consent: open.consent,
  });
  return html`<p>${t('guest.codes_how', { leader })}</p>
    <${ShowFrames} document=${document} label=${t('guest.codes_label')} />`;
}

/** Leave out who is done with a step, which matters only while it is open. @param {Record<string, any>} values */
function withoutDone(values) {
  return Object.fromEntries(Object.entries(values).filter(([field]) => !field.startsWith('done_')));
}

/** @param {import('../../domain/guest/answers.js').Answer} answer */
function entriesOf({ accepted, entries }) {
  return accepted ? [accepted, ...entries] : entries;
}
