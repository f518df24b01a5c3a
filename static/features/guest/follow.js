// Follows what the leader opens, but does not take the page away from a guest who is in the middle of something.
import { useRef, useState } from '../../lib/ui.js';
import { glassesOf, ledPlace } from '../../domain/guest/place.js';

/** @typedef {{ glass: string, step: string, isTalk: boolean, key: string }} Now what is open for everybody */

const TEXT = 'textarea, input:not([type=range], [type=radio], [type=checkbox])';

/** @param {import('../../domain/guest/guest_store.js').View} view @returns {Now | null} */
export function nowOf(view) {
  const led = ledPlace(view);
  if (!led) return null;
  // While a glass is talked about, everybody looks at its answers.
  const isTalk = glassesOf(view).some(({ id, discussed }) => id === led.glass && discussed);
  return { ...led, isTalk, key: `${led.glass}/${isTalk ? 'talk' : led.step}` };
}

/** @returns {boolean} whether the guest writes, or has a sheet open */
function isInTheMiddle() {
  return Boolean(document.querySelector('dialog[open]') || document.activeElement?.matches(TEXT));
}

/**
 * Tell whether the page shows answers or a label that the guest may still be reading.
 * @param {import('../../domain/guest/guest_store.js').View} view
 * @param {Now | null} place that the page shows
 * @returns {boolean}
 */
export function isRead(view, place) {
  const glass = place?.isTalk && glassesOf(view).find(({ id }) => id === place.glass);
  return Boolean(glass && (glass.discussed || glass.uncovered));
}

/**
 * @param {Now | null} now
 * @param {boolean} isFollowing whether the page shows what is open; another page is never taken away
 * @param {import('../../domain/guest/guest_store.js').View} view
 * @param {(place: Now) => boolean} isUnfinished
 * @returns {{ place: Now | null, left: Now | null, isHeld: boolean, release: () => void }} place: what the page shows;
 *   left: the unfinished step before it
 */
export function useFollowed(now, isFollowing, view, isUnfinished) {
  const [, rerender] = useState(0);
  const { current } = useRef({ place: now, left: /** @type {Now | null} */ (null), newest: now?.key, isHeld: false });
  if (now?.key !== current.newest) {
    current.newest = now?.key;
    const isReading = isRead(view, current.place);
    const isBusy = now !== null && (current.isHeld || isInTheMiddle());
    current.isHeld = isFollowing && current.place !== null && (isReading || isBusy);
  }
  if (!isFollowing || now?.key === current.place?.key) current.isHeld = false;
  if (!current.isHeld && current.place?.key !== now?.key) {
    const { place } = current;
    current.left = isFollowing && now && place && !place.isTalk && isUnfinished(place) ? place : null;
  }
  if (!current.isHeld) current.place = now;
  const release = () => {
    current.isHeld = false;
    rerender((times) => times + 1);
  };
  return { place: current.place, left: current.left, isHeld: current.isHeld, release };
}
