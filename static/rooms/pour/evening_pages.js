// The pages of the Pour room that are no tasting, by the word in their address.
import { EveningPage } from './evening_page.js';
import { FlightPage } from './flight_page.js';
import { GuessesPage } from './guesses_page.js';
import { ServingPage } from './serving_page.js';
import { SidePage } from './side_page.js';
import { TrianglePage } from './triangle_page.js';
import { VisitPage } from './visit_page.js';

/** @type {Record<string, (props: { path: string[], query: URLSearchParams }) => unknown>} */
export const eveningPages = {
  evening: EveningPage, flight: FlightPage, guesses: GuessesPage, serving: ServingPage, side: SidePage, triangle: TrianglePage, visit: VisitPage,
};
