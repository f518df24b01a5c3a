// The pages behind the quick note.

/** @typedef {import('../behind.js').Door} Door */

/** The pages of one pour. @type {Record<'step' | 'evidence', Door>} */
export const ofPour = {
  step: () => import('./step_page.js').then((module) => module.StepPage),
  evidence: () => import('./evidence_page.js').then((module) => module.EvidencePage),
};

/** Those that are no tasting, by the word of their address. @type {Record<string, Door>} */
const aside = {
  evening: () => import('./evening_page.js').then((module) => module.EveningPage),
  flight: () => import('./flight_page.js').then((module) => module.FlightPage),
  guesses: () => import('./guesses_page.js').then((module) => module.GuessesPage),
  serving: () => import('./serving_page.js').then((module) => module.ServingPage),
  side: () => import('./side_page.js').then((module) => module.SidePage),
  triangle: () => import('./triangle_page.js').then((module) => module.TrianglePage),
  visit: () => import('./visit_page.js').then((module) => module.VisitPage),
};

/** @param {string | undefined} word of an address @returns {Door | null} null where it names a tasting */
export function asideDoor(word) {
  return word !== undefined && Object.hasOwn(aside, word) ? aside[word] ?? null : null;
}
