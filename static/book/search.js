/**
 * Finds tastings and bottles by any words about them, on the phone.
 *
 * @typedef {import('./record.js').Row} Row
 * @typedef {Object} Filters each may be left out
 * @property {string} [style] @property {string} [colour] @property {string} [country]
 * @property {string} [visit] id @property {string} [bottle] id
 * @property {number} [liking_low] @property {number} [liking_high]
 * @property {string} [would_buy]
 * @property {string} [from] YYYY-MM-DD, the first day @property {string} [to] the last day
 * @typedef {{ text: string, bottle: string | null, visit: string | null, at: string, liking: number | null, would_buy: string | null }} TastingGist
 * @typedef {{ text: string, style: string | null, colour: string | null, country: string | null }} BottleGist
 */
import { folded } from './folded.js';
import { db, steady } from './tables.js';
import { TextTable } from './text_table.js';

/**
 * Turns ids into the words that a person would type.
 * @type {(vocabulary: 'style' | 'aroma' | 'country' | 'colour', id: string) => string}
 */
let spell = (vocabulary, id) => id.replaceAll('_', ' ');

/** @param {typeof spell} words as the screens spell ids in the chosen language */
export function spellWith(words) {
  spell = words;
  for (const table of [tastings, bottles, visits]) table.forget();
}

const tastings = new TextTable('tasting', tastingGist);
const bottles = new TextTable('bottle', bottleGist);
const visits = new TextTable('visit', ({ fields }) => folded(said(fields['name'], fields['place'])));

/**
 * @param {string} text every word must be found somewhere in the tasting, its bottle or its visit
 * @param {Filters} [filters]
 * @param {number} [limit]
 * @returns {Promise<{ total: number, tastings: Row[] }>} the latest first
 */
export async function searchTastings(text, filters = {}, limit = 100) {
  const [found, bottleGists, visitTexts] = await Promise.all([tastings.fresh(), bottles.fresh(), visits.fresh()]);
  const words = wordsOf(text);
  const hits = [...found].filter(([, gist]) => {
    const about = bottleGists.get(gist.bottle ?? '');
    return passes(gist, about, filters)
      && inAll(words, [gist.text, about?.text ?? '', visitTexts.get(gist.visit ?? '') ?? '']);
  });
  hits.sort(([, one], [, other]) => (one.at < other.at ? 1 : -1));
  const rows = await steady(() => db.tasting.bulkGet(hits.slice(0, limit).map(([id]) => id)));
  return { total: hits.length, tastings: rows.flatMap((row) => (row ? [row] : [])) };
}

/**
 * @param {string} text
 * @param {number} [limit]
 * @returns {Promise<Row[]>} bottles, those whose text begins with the words first, then the latest
 */
export async function searchBottles(text, limit = 20) {
  const words = wordsOf(text);
  const hits = [...await bottles.fresh()].filter(([, gist]) => inAll(words, [gist.text]));
  const begins = (/** @type {BottleGist} */ gist) => Number(gist.text.startsWith(words.join(' ')));
  hits.sort(([id, one], [otherId, other]) => begins(other) - begins(one) || (id < otherId ? 1 : -1));
  const rows = await steady(() => db.bottle.bulkGet(hits.slice(0, limit).map(([id]) => id)));
  return rows.flatMap((row) => (row ? [row] : []));
}

/** Reads the book ahead of the first search, which is then as quick as the others. */
export async function warmSearch() {
  await Promise.all([tastings.fresh(), bottles.fresh(), visits.fresh()]);
}

/** @param {string} text */
function wordsOf(text) {
  return folded(text).split(/\s+/).filter((word) => word !== '');
}

/** @param {string[]} words @param {string[]} texts */
function inAll(words, texts) {
  return words.every((word) => texts.some((text) => text.includes(word)));
}

/** @param {TastingGist} gist @param {BottleGist | undefined} about @param {Filters} filters */
function passes(gist, about, filters) {
  const day = gist.at.slice(0, 10);
  return /** @type {const} */ (['style', 'colour', 'country']).every((name) => !filters[name] || about?.[name] === filters[name])
    && /** @type {const} */ (['visit', 'bottle', 'would_buy']).every((name) => !filters[name] || gist[name] === filters[name])
    && (filters.liking_low === undefined || (gist.liking ?? -1) >= filters.liking_low)
    && (filters.liking_high === undefined || (gist.liking ?? Infinity) <= filters.liking_high)
    && (!filters.from || day >= filters.from) && (!filters.to || (day !== '' && day <= filters.to));
}

/** @param {Row} row @returns {TastingGist} */
function tastingGist({ fields }) {
  const aromas = ['first_nose_words', 'second_nose_words', 'sip_words', 'sip_2_words', 'sip_3_words']
    .flatMap((name) => fields[name] ?? []).map(aroma);
  return {
    text: folded(said(fields['words'], fields['place'], fields['with_whom'], fields['with_food'], fields['flight_mark'], ...aromas)),
    bottle: fields['bottle'] ?? null, visit: fields['visit'] ?? null, at: fields['tasted_at'] ?? '',
    liking: fields['liking'] ?? null, would_buy: fields['would_buy'] ?? null,
  };
}

/** @param {string} entry `word`, `word:2` or `~own words` */
function aroma(entry) {
  return entry.startsWith('~') ? entry.slice(1) : spell('aroma', String(entry.split(':')[0]));
}

/** @param {Row} row @returns {BottleGist} */
function bottleGist({ fields }) {
  const spelt = /** @type {const} */ (['style', 'country', 'colour'])
    .map((name) => (fields[name] ? spell(name, fields[name]) : ''));
  return {
    text: folded(said(fields['name'], fields['producer'], fields['vintage'], fields['region'], fields['grapes'], fields['words'], fields['gtin'], ...spelt)),
    style: fields['style'] ?? null, colour: fields['colour'] ?? null, country: fields['country'] ?? null,
  };
}

/** @param {...unknown} parts */
function said(...parts) {
  return parts.filter((part) => part !== null && part !== undefined && part !== '').join(' ');
}
