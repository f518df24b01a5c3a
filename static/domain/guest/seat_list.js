// The tables of other people at which this phone is a guest.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { ArrowRow } from '../../components/layout/row.js';
import { readSeats } from './guest_store.js';

/** @typedef {import('./guest_store.js').Seat} Seat */

/** @param {{ title: string, className: string }} props */
export function SeatList({ title, className }) {
  const [seats, setSeats] = useState(/** @type {Seat[]} */ ([]));
  useEffect(() => {
    readSeats().then(
      (found) => setSeats(found.filter(({ state }) => state === 'in' || state === 'over')),
      () => undefined,
    );
  }, []);
  if (!seats.length) return null;
  return html`<section class=${className} aria-label=${title}><h2>${title}</h2><ul class="ruled">${seats.map(
    (seat) => html`<li key=${seat.table}><${ArrowRow} href=${`#/guest/${seat.table}`}
      name=${seat.view['table']?.name || t('guest.welcome')}
      line=${date(new Date(seat.opened_ms).toISOString())} /></li>`,
  )}</ul></section>`;
}
