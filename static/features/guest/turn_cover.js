// Covers the page for a moment when the leader opens another step, so that a tap meant for the last one does nothing.
import { html, useEffect, useState } from '../../lib/ui.js';

/** How long: a tap that was on its way, and the time to read a name. */
const COVERED_MS = 1_200;

/** @param {{ place: string, title: string, name: string }} props place: glass and step that are open; '' for none */
export function TurnCover({ place, title, name }) {
  // What was open when the page came needs no cover.
  const [seen, setSeen] = useState(place);
  useEffect(() => {
    if (place === seen) return undefined;
    scrollTo(0, 0);
    const timer = setTimeout(() => setSeen(place), COVERED_MS);
    return () => clearTimeout(timer);
  }, [place, seen]);
  return (
    place !== seen &&
    place !== '' &&
    html`<div class="turn-cover" role="status"><p class="soft">${title}</p><p class="name">${name}</p></div>`
  );
}
