// Summaries of all tastings in memory, newest first, for the list and the search.
import { computed, effect, signal } from '../lib/ui.js';
import { loadEnglish, t } from '../i18n.js';
import { plainText } from '../lib/plain_text.js';
import { changeCount } from '../store/changes.js';
import { openPour } from '../store/open_pour.js';
import { recentDeletion } from '../store/deleted_tastings.js';
import { RecordIndex } from '../store/record_index.js';
import { parseAromas } from './aroma_text.js';
import { middleAbv } from './bottle/abv.js';
import { bottleLine, bottleName, isNumber, labelAbv } from './bottle_names.js';
import { faultText } from './faults.js';
import { countryName } from './country_names.js';
import { isBlank, isUnfinished } from './drafts.js';
import { joinEntries, updateEntries } from './search_entries.js';
import { speltGrape } from './grape_spelling.js';
import { aliases, grapesOf, styleOf } from './style_names.js';
import { AROMA_FIELDS } from '../rules/tasting/aroma_fields.js';
import { grapeNames, splitGrapes } from '../rules/tasting/grapes.js';

/** @typedef {import('../store/record.js').Row} Row */
/** @typedef {ReturnType<typeof summarizeTasting>} TastingSummary */
/** @typedef {ReturnType<typeof summarizeBottle>} BottleSummary */
/**
 * @typedef {object} Entry summary of one tasting
 * @property {string} id
 * @property {string} at RFC 3339, or empty
 * @property {number | null} liking
 * @property {string | null} would_buy
 * @property {string} fault names of the faults, or empty
 * @property {string | null} place
 * @property {string | null} bottle id
 * @property {string | null} visit id
 * @property {BottleSummary} about
 * @property {string} text searchable text, normalized
 * @property {boolean} example
 * @property {boolean} blank whether it holds no answer
 * @property {boolean} unfinished
 */

const tastings = new RecordIndex('tasting', summarizeTasting);
// A note of another device may name a bottle that was deleted on this one, and keeps its name.
const bottles = new RecordIndex('bottle', summarizeBottle, { withDeleted: true });
const visits = new RecordIndex('visit', ({ fields }) => plainText(said(fields['name'], fields['place'])));
const tables = [tastings, bottles, visits];

const allEntries = signal(/** @type {Entry[] | null} */ (null));

/** Without the open pour as long as it holds nothing. Null until it was read once. */
export const searchIndex = computed(() => {
  const entries = allEntries.value;
  const open = openPour.value?.tasting;
  const isBare = (/** @type {Entry} */ entry) => entry.id === open && entry.blank && entry.about.blank;
  return open && entries?.some(isBare) ? entries.filter((entry) => !isBare(entry)) : entries;
});

/** How many entries are of the example, and whether any has a fault; counted once for each index. */
export const searchFacts = computed(() => {
  const entries = searchIndex.value ?? [];
  return {
    examples: entries.reduce((sum, entry) => sum + Number(entry.example), 0),
    faulty: entries.some((entry) => entry.fault),
  };
});

/** Whether deleted notes can be restored; false until the index was read. */
export const hasDeletedNotes = signal(false);

/** @type {Promise<void> | null} */
let reading = null;

/** Keep the index up to date until the returned function is called. @returns {() => void} */
export function watchSearchIndex() {
  return effect(() => {
    if (changeCount.value >= 0) read();
  });
}

function read() {
  reading ??= refresh().finally(() => {
    reading = null;
  });
}

async function refresh() {
  // The texts have English names too. Without a network the messages are there, or never come.
  await loadEnglish().catch(() => undefined);
  while (allEntries.peek() === null || tables.some((table) => table.stale === null || table.stale.size > 0)) {
    const from = {
      tastings: await tastings.refreshed(),
      bottles: await bottles.refreshed(),
      visits: await visits.refreshed(),
      // Created here, because the messages are loaded after this module.
      unknown: summarizeBottle(null),
    };
    const changes = { tastings: tastings.takeChanges(), bottles: bottles.takeChanges(), visits: visits.takeChanges() };
    const before = allEntries.peek();
    allEntries.value =
      before && changes.tastings && changes.bottles && changes.visits
        ? updateEntries(before, from, /** @type {import('./search_entries.js').Changes} */ (changes))
        : joinEntries(from);
    hasDeletedNotes.value = [...tastings.deleted.values()].some(await recentDeletion());
  }
}

/** @param {Row} row */
function summarizeTasting({ fields }) {
  const noted = AROMA_FIELDS.flatMap((name) => parseAromas(fields[name])).map((each) => each.text);
  return {
    at: /** @type {string} */ (fields['tasted_at'] ?? ''),
    liking: /** @type {number | null} */ (fields['liking'] ?? null),
    would_buy: /** @type {string | null} */ (fields['would_buy'] ?? null),
    fault: faultText(fields),
    place: /** @type {string | null} */ (fields['place'] ?? null),
    bottle: /** @type {string | null} */ (fields['bottle'] ?? null),
    visit: /** @type {string | null} */ (fields['visit'] ?? null),
    example: fields['example'] === true,
    blank: isBlank(fields),
    unfinished: isUnfinished(fields),
    text: plainText(
      said(
        fields['words'],
        fields['place'],
        fields['with_whom'],
        fields['with_food'],
        fields['flight_mark'],
        ...noted,
        faultText(fields),
        (fields['tasted_at'] ?? '').slice(0, 7),
      ),
    ),
  };
}

/** @param {Row | null} row */
function summarizeBottle(row) {
  const known = row?.fields ?? {};
  // A bottle with hidden label matches no filter and no search.
  const fields = known['covered'] ? { covered: true, merged_into: known['merged_into'] } : known;
  const style = styleOf(fields['style']);
  const [colour, kind] = [
    /** @type {string | null} */ (fields['colour'] ?? style?.colour ?? null),
    /** @type {string | null} */ (fields['kind'] ?? style?.kind ?? null),
  ];
  const grapes = splitGrapes(fields['grapes'] ?? '');
  const spelt = fields['covered']
    ? []
    : [
        fields['name'],
        fields['producer'],
        vintageWords(fields),
        fields['region'],
        printedText(fields),
        fields['grapes'],
        ...grapes.flatMap(grapeNames),
        fields['words'],
        fields['gtin'],
        ...(style ? aliases(style) : []),
        countryName(fields['country']),
        colour && t(`colour.${colour}`),
        kind && t(`bottle_kind.${kind}`),
      ];
  return {
    id: row?.id ?? null,
    blank: isBlank(known),
    wine: wineKey(fields),
    name: bottleName(row),
    line: bottleLine(row),
    abv: middleAbv(fields),
    printed: fields['covered'] ? '' : labelAbv(row),
    style: /** @type {string | null} */ (fields['style'] ?? null),
    colour,
    kind,
    // Without a noted grape, that of the style, if it has exactly one.
    grapes: !grapes.length && style?.grapes.length === 1 ? grapesOf(style) : grapes.map(speltGrape),
    country: /** @type {string | null} */ (fields['country'] ?? null),
    vintage: /** @type {number | null} */ (fields['vintage'] ?? null),
    merged_into: /** @type {string | null} */ (fields['merged_into'] ?? null),
    // Each name once, because the text of every tasting contains it.
    text: plainText(said(...new Set(spelt))),
  };
}

/**
 * Return a key for one wine whatever its year, or null where it has no name.
 * @param {import('../store/record.js').Fields} fields
 */
function wineKey({ name, producer, vintage, covered }) {
  const plain = (/** @type {string} */ text) => plainText(text).replace(/[^\p{L}\p{N}]/gu, '');
  return name && !covered ? `${plain(String(name).replace(String(vintage ?? ''), ''))}/${plain(producer ?? '')}` : null;
}

/**
 * Return what finds a vintage: for a wine without one every abbreviation, and the words in full ("nonvintage" contains
 * both words of "non vintage").
 * @param {import('../store/record.js').Fields} fields
 */
function vintageWords({ vintage, non_vintage }) {
  if (vintage) return String(vintage);
  return non_vintage ? `NV NM SA nonvintage non millésimé ${t('vintage.none_said')}` : null;
}

/**
 * Return the printed alcohol with a point and with a comma, because people type either.
 * @param {import('../store/record.js').Fields} fields
 */
function printedText({ label_abv, label_abv_low, label_abv_high }) {
  const ends = (isNumber(label_abv) ? [label_abv] : [label_abv_low, label_abv_high]).filter(isNumber);
  const text = ends.join('-');
  return ends.length ? [...new Set([text, text.replaceAll('.', ',')])].map((each) => `${each}%`).join(' ') : null;
}

/** @param {...unknown} parts */
function said(...parts) {
  return parts.filter((part) => part !== null && part !== undefined && part !== '' && part !== false).join(' ');
}
