// What lies behind the quick note: each page is fetched when it is first asked for, so that the note itself opens on few files.
import { useEffect, useState } from '../../ui.js';

/** @typedef {(props: any) => unknown} Screen */

const doors = /** @type {Record<string, () => Promise<Screen>>} */ ({
  step: () => import('./step_page.js').then((module) => module.StepPage),
  evidence: () => import('./evidence_page.js').then((module) => module.EvidencePage),
  evening: () => import('./evening_page.js').then((module) => module.EveningPage),
  flight: () => import('./flight_page.js').then((module) => module.FlightPage),
  guesses: () => import('./guesses_page.js').then((module) => module.GuessesPage),
  serving: () => import('./serving_page.js').then((module) => module.ServingPage),
  side: () => import('./side_page.js').then((module) => module.SidePage),
  triangle: () => import('./triangle_page.js').then((module) => module.TrianglePage),
  visit: () => import('./visit_page.js').then((module) => module.VisitPage),
});

const ASIDE = new Set(['evening', 'flight', 'guesses', 'serving', 'side', 'triangle', 'visit']);

/** @type {Map<string, Screen>} */
const here = new Map();

/** Whether the word of an address names a page that is no tasting. @param {string | undefined} word */
export function isAsidePage(word) {
  return word !== undefined && ASIDE.has(word);
}

/** @param {string} name of a page behind the note @returns {Promise<Screen>} */
async function fetchScreen(name) {
  const screen = here.get(name) ?? await /** @type {() => Promise<Screen>} */ (doors[name])();
  here.set(name, screen);
  return screen;
}

/** @param {string | null} name none for a page that is here from the start @returns {Screen | null} null until it is fetched */
export function useScreen(name) {
  const [, arrived] = useState('');
  useEffect(() => {
    let left = false;
    if (name && !here.has(name)) fetchScreen(name).then(() => { if (!left) arrived(name); });
    return () => { left = true; };
  }, [name]);
  return (name && here.get(name)) || null;
}
