// Flights: create a series of hidden glasses, and reveal them together.
import { timestamp, today } from '../../lib/datetime.js';
import { localState } from '../../store/local_state.js';
import { settings, tasting, tastingsOfVisit } from '../../store/queries.js';
import { newId, saveMany } from '../../store/write.js';
import { shuffleGlasses, glassLetter } from './shuffle.js';
import { styleOf } from '../style_names.js';
import { runningVisit } from '../pour/visits.js';
import { resolveBottle, wineName } from '../bottle_names.js';
import { GUESS_FIELDS } from '../fields.js';

/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {{ bottle: string | null, name: string | null, style: string | null, label_abv: number | null, vintage:
 *   number | null, non_vintage?: true | null }} Wine
 */
/** @typedef {{ kind: import('../../store/record.js').Kind, id: string, fields: Record<string, any> }} Edit */
/**
 * @typedef {{ visit: string, glasses: { mark: string, name: string }[], edits?: Edit[] }} Poured edits: what makes the
 *   flight; missing in a list of an older release
 * @typedef {{ wines: Wine[], typed?: Wine | null, repeated: boolean, poured: Poured | null }} Draft typed: the wine
 *   being entered
 */

/** @param {unknown} value @returns {value is Draft} */
const isDraft = (value) => Array.isArray(/** @type {any} */ (value)?.wines);

export const flightDraft = localState('flight', isDraft);

/** @returns {Draft} */
export function emptyDraft() {
  return { wines: [], repeated: true, poured: null };
}

/**
 * Shuffle the wines, keep the list for the pourer, and save a tasting with hidden label for each glass. The list comes
 * first, because a page that is closed before it would have covered glasses that nobody can pour.
 * @param {Draft} made
 * @param {string} visitName
 */
export async function createFlight(made, visitName) {
  const running = await runningVisit();
  const visit = running?.id ?? newId();
  const own = (await settings()).fields;
  const bottles = made.wines.map((wine) => wine.bottle ?? newId());
  const used = new Set((running ? await tastingsOfVisit(visit) : []).map((row) => row.fields['flight_mark']));
  const marks = Array.from({ length: 26 }, (_, index) => glassLetter(index)).filter((mark) => !used.has(mark));
  const glasses = shuffleGlasses(made.wines.length, made.repeated).map((wine, index) => ({
    wine,
    mark: marks[index] ?? String(index + 1),
  }));
  const startedAt = Date.now();
  /** @type {Edit[]} */
  const edits = [
    ...(running ? [] : [{ kind: /** @type {const} */ ('visit'), id: visit, fields: { name: visitName, on: today() } }]),
    ...made.wines.map((wine, index) => ({
      kind: /** @type {const} */ ('bottle'),
      id: /** @type {string} */ (bottles[index]),
      fields: wine.bottle ? { covered: true } : { ...labelOf(wine), covered: true },
    })),
    ...glasses.map(({ wine, mark }, index) => ({
      kind: /** @type {const} */ ('tasting'),
      id: newId(),
      // One second apart, so that the glasses keep their order.
      fields: {
        bottle: bottles[wine],
        visit,
        flight_mark: mark,
        label_hidden: true,
        tasted_at: timestamp(new Date(startedAt + index * 1000)),
        place: running?.fields['place'] ?? null,
        pour_ml: own['pour_ml'] ?? null,
      },
    })),
  ];
  const list = glasses.map(({ wine, mark }) => ({ mark, name: wineName(made.wines[wine] ?? {}) }));
  const poured = { visit, glasses: list, edits };
  await flightDraft.set({ ...made, poured });
  await saveFlight(poured);
}

/**
 * Save the flight of a list, unless it was saved before.
 * @param {Poured} poured
 */
export async function saveFlight({ edits = [] }) {
  const last = edits.at(-1);
  if (last && !(await tasting(last.id))) await saveMany(edits);
}

/** @param {Wine} wine */
function labelOf({ name, style, label_abv, vintage, non_vintage = null }) {
  const found = styleOf(style);
  return { name, style, label_abv, vintage, non_vintage, colour: found?.colour ?? null, kind: found?.kind ?? null };
}

/**
 * Reveal glasses and lock their guesses.
 * @param {Row[]} covered
 * @param {Map<string, Row>} bottles of these glasses and perhaps others
 */
export async function revealFlight(covered, bottles) {
  const now = timestamp();
  const named = covered.flatMap(({ fields: { bottle } }) => [bottles.get(bottle), resolveBottle(bottles, bottle)]);
  await saveMany([
    ...covered.map(({ id, fields }) => {
      const guessed = GUESS_FIELDS.some((field) => fields[field] !== null && fields[field] !== undefined);
      return {
        kind: /** @type {const} */ ('tasting'),
        id,
        fields: { uncovered_at: now, ...(guessed && !fields['guesses_locked_at'] ? { guesses_locked_at: now } : {}) },
      };
    }),
    ...[...new Set(named)].flatMap((row) =>
      row?.fields['covered'] ? [{ kind: /** @type {const} */ ('bottle'), id: row.id, fields: { covered: false } }] : [],
    ),
  ]);
}
