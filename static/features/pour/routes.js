// Loaders of the pages behind the quick note.

/** @typedef {import('../shell/lazy.js').Loader} Loader */

/** Pages of one pour. @type {Record<'step' | 'evidence' | 'missing', Loader>} */
export const pourPages = {
  step: () => import('./step_page.js').then((module) => module.StepPage),
  evidence: () => import('./evidence_page.js').then((module) => module.EvidencePage),
  missing: () => import('./missing_page.js').then((module) => module.MissingPage),
};

/** Other pages, by the first part of their route. @type {Record<string, Loader>} */
const otherPages = {
  evening: () => import('./tools_page.js').then((module) => module.ToolsPage),
  flight: () => import('../blind/flight_page.js').then((module) => module.FlightPage),
  guesses: () => import('../blind/guesses_page.js').then((module) => module.GuessesPage),
  serving: () => import('../serving/serving_page.js').then((module) => module.ServingPage),
  side: () => import('../compare/compare_page.js').then((module) => module.PourComparePage),
  triangle: () => import('../blind/triangle_page.js').then((module) => module.TrianglePage),
  visit: () => import('../visit/visit_page.js').then((module) => module.VisitPage),
};

/**
 * @param {string | undefined} name first part of the route
 * @returns {Loader | null} null if it is a tasting id
 */
export function pageFor(name) {
  return name !== undefined && Object.hasOwn(otherPages, name) ? (otherPages[name] ?? null) : null;
}
