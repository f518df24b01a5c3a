// Covers the page for a moment when the leader opens another step, so that a tap meant for the last one does nothing.
import { html, useEffect, useState } from '../../lib/ui.js';
import { linkTiming } from '../../domain/guest/guest_link.js';

/** @param {{ place: string, title: string, name: string }} props place: glass and step that are open; '' for none */
export function TurnCover({ place, title, name }) {
  // What was open when the page came needs no cover.
  const [seen, setSeen] = useState(place);
  useEffect(() => {
    if (place === seen) return undefined;
    const timer = setTimeout(() => setSeen(place), linkTiming.turn);
    return () => clearTimeout(timer);
  }, [place, seen]);
  return (
    place !== seen &&
    place !== '' &&
    html`<div class="turn-cover" aria-hidden="true"><p class="soft">${title}</p><p class="name">${name}</p></div>`
  );
}
