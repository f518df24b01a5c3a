// Guesses the columns of a shop's list, from its headings or from its cells.
import { plainText } from '../../../lib/plain_text.js';
import { readVintage } from '../../../rules/label/vintage.js';
import { CURRENCY, OF_A_LITRE } from '../../../rules/label_text/amounts.js';
import { CARAFE, GLASS } from '../../../rules/label_text/servings.js';
import { OTHER_WORD } from './alcohol_words.js';
import { figureOf, parseAmount } from './cell_amounts.js';

/** @typedef {import('./csv.js').Line} Line */
/** @typedef {import('./import_rows.js').Column} Column */

/** What says that a price is that of several bottles. */
const OF_A_CASE = /(?<!\p{L})(?:cases?|carton|kiste|karton|caisse|cassa|cartone)(?!\p{L})/iu;
/** The column of the bottle's price beside that of the glass. Alone it is that of the names. */
const OF_A_BOTTLE = /^(?:bottle|bouteille|bottiglia|flasche|btl|75 ?cl|750 ?ml)\W*$/;
const NO_ALCOHOL = new RegExp(`${OTHER_WORD}{3}`, 'iu');

// Column headings used by shops, in the languages of the app.
const HEADINGS = /** @type {Record<Exclude<Column, 'note' | 'none'>, string[]>} */ ({
  name: [
    'name',
    'wine',
    'wein',
    'vin',
    'vino',
    'bottle',
    'item',
    'title',
    'product',
    'cuvee',
    'description',
    'nom',
    'nome',
    'artikel',
    'bezeichnung',
  ],
  producer: [
    'producer',
    'winery',
    'estate',
    'maker',
    'domaine',
    'producteur',
    'produttore',
    'weingut',
    'erzeuger',
    'bodega',
    'cantina',
  ],
  vintage: ['vintage', 'year', 'millesime', 'annata', 'jahrgang', 'anada', 'annee', 'anno'],
  style: [
    'style',
    'type',
    'grape',
    'grapes',
    'variety',
    'varietal',
    'cepage',
    'vitigno',
    'rebsorte',
    'stil',
    'uva',
    'stile',
  ],
  abv: [
    'abv',
    'alc',
    'alcohol',
    'alcool',
    'alcol',
    'alkohol',
    'alcolico',
    'alcolica',
    'alcolometrico',
    'alcoometrique',
    'vol',
    'strength',
    'degre',
    'degres',
    'grad',
    'grado',
    'gradi',
    'gradazione',
    'tav',
    '%',
  ],
  price: ['price', 'prix', 'prezzo', 'preis', 'precio', 'eur', 'euro', 'euros', 'gbp', 'usd', 'chf', 'cost'],
  region: ['region', 'appellation', 'origin', 'regione', 'herkunft', 'denominazione', 'area'],
  gtin: ['gtin', 'ean', 'upc', 'barcode', 'code'],
});

/**
 * @param {Line[]} lines
 * @returns {{ heading: boolean, columns: Column[] }} whether the first line has headings, and the
 *   type of each column
 */
export function guessColumns(lines) {
  const [first] = lines;
  if (!first) return { heading: false, columns: [] };
  const named = columnsNamed(first.cells);
  const heading =
    named.filter((column) => column !== 'none').length >= 2 &&
    first.cells.every((cell) => parseAmount(cell) === null || Number.isNaN(parseAmount(cell)));
  const parts = first.cells.map((_, at) => lines.map((line) => line.cells[at] ?? ''));
  const guessed = heading ? withAlcohol(named, parts) : withFigures(withoutCounts(parts));
  return { heading, columns: onceEach(guessed, first.cells.length) };
}

/**
 * Name the columns by their headings. Beside a column that is only a name, "Wine type" and "Price per bottle" are none.
 * @param {string[]} headings
 * @returns {Column[]}
 */
function columnsNamed(headings) {
  const meant = headings.map(columnsIn);
  const hasOnly = (/** @type {Column} */ column) => meant.some((found) => found.length === 1 && found[0] === column);
  const hasName = hasOnly('name');
  const isPriced = hasName && hasOnly('price');
  return meant.map((found, at) => {
    if (isPriced && OF_A_BOTTLE.test(plainText(String(headings[at])))) return 'none';
    return found.find((column) => found.length === 1 || !hasName || column !== 'name') ?? 'none';
  });
}

/** @param {string} cell @returns {Column[]} what its words may mean */
function columnsIn(cell) {
  if ([OF_A_LITRE, OF_A_CASE, GLASS, CARAFE].some((form) => cell.search(form) >= 0)) return [];
  if (OF_A_BOTTLE.test(plainText(cell))) return ['name', 'price'];
  const words = plainText(cell)
    .split(/[^\p{L}%]+/u)
    .filter(Boolean);
  const found = Object.entries(HEADINGS).filter(([, names]) => words.some((word) => names.includes(word)));
  return found.map(([column]) => /** @type {Column} */ (column));
}

const STRENGTH = /\d\s*(?:%|[°º](?!\s?[CF]\b)|(?:vol|gradi|degr[eé]s)(?!\p{L}))/iu;
const PRICED = new RegExp(`${CURRENCY}\\s?\\d|\\d\\s?${CURRENCY}|[€$£¥]|\\d[.,][-\u2013\u2014]`, 'iu');
/** A percentage alone may be a discount. */
const STATED = /\d\s*%?\s*(?:vol|alc|alk|abv|tav)\b|\b(?:alc|alk|abv|tav)\D*\d/i;
const NEARLY_ALL = 0.8;

/**
 * Take for the alcohol a column of another heading that states it in nearly all of its cells, if there is no other.
 * @param {Column[]} named
 * @param {string[][]} parts the cells of each column
 */
function withAlcohol(named, parts) {
  if (named.includes('abv')) return named;
  const found = parts.findIndex(([, ...cells], at) => {
    const filled = cells.filter(Boolean);
    const stated = filled.filter((cell) => STATED.test(cell) && !NO_ALCOHOL.test(cell));
    return named[at] === 'none' && filled.length > 0 && stated.length >= filled.length * NEARLY_ALL;
  });
  return named.map((column, at) => (at === found ? /** @type {const} */ ('abv') : column));
}

/**
 * Numbers that may be alcohol or prices, by what they look like: most with two decimals, which no label prints for its
 * alcohol; whole ones; some and a half.
 */
const FIGURES = /** @type {const} */ (['cents', 'whole', 'halves']);
/** @typedef {typeof FIGURES[number] | 'numbers'} Figures `numbers` are no alcohol */
const LEAST_PRICE = 5;
/** A list has a column of more bottles than this less often than one of prices. */
const MOST_BOTTLES = 24;

/**
 * @param {string[]} cells of one column
 * @returns {Column | Figures}
 */
function columnOf(cells) {
  const filled = cells.filter(Boolean);
  const mostMatch = (/** @type {(cell: string) => boolean} */ test) =>
    filled.length > 0 && filled.filter(test).length > filled.length / 2;
  if (mostMatch((cell) => /^\d{8}$|^\d{12,14}$/.test(cell))) return 'gtin';
  if (mostMatch((cell) => readVintage(cell) !== null)) return 'vintage';
  if (mostMatch((cell) => STRENGTH.test(cell) && !NO_ALCOHOL.test(cell))) return 'abv';
  if (mostMatch((cell) => PRICED.test(cell))) return 'price';
  const numbers = filled
    .map((cell) => parseAmount(cell))
    .filter((value) => value !== null && !Number.isNaN(value))
    .map(Number);
  if (numbers.length > filled.length / 2) {
    const isAlcohol = numbers.every((value) => value >= 5 && value <= 22 && Number.isInteger(value * 2));
    if (!isAlcohol) return 'numbers';
    if (mostMatch((cell) => /\d[.,]\d{2}$/.test(figureOf(cell)))) return 'cents';
    return numbers.every(Number.isInteger) ? 'whole' : 'halves';
  }
  return 'name';
}

/**
 * Tell how many bottles there are from what they cost: beside prices with a currency or cents, and left of the names.
 * @param {string[][]} parts the cells of each column
 * @returns {(Column | Figures)[]} the kinds of the columns
 */
function withoutCounts(parts) {
  const kinds = parts.map(columnOf);
  const firstName = kinds.indexOf('name');
  const isPriced = kinds.slice(firstName + 1).some((kind) => ['price', 'numbers', 'cents', 'whole'].includes(kind));
  return kinds.map((kind, at) => {
    if (kind !== 'numbers' && kind !== 'whole') return kind;
    const other = kind === 'numbers' ? 'price' : kind;
    const counts = (parts[at] ?? []).filter(Boolean).map(Number);
    if (!counts.every((count) => Number.isInteger(count) && count <= MOST_BOTTLES)) return other;
    const isSmall = counts.some((count) => count < LEAST_PRICE);
    const isBesidePrice = kinds.includes('price') || kinds.includes('cents');
    return (at < firstName && isPriced) || (isSmall && isBesidePrice) ? 'note' : other;
  });
}

/**
 * Decide what the figures are: the likeliest, of several the first, is the alcohol, the next the price, unless other
 * columns are that. A lone column without halves is the price, because without it a list says what the bottles cost
 * sooner than their alcohol.
 * @param {(Column | Figures)[]} kinds
 * @returns {Column[]}
 */
function withFigures(kinds) {
  const ranks = kinds.map((kind) => FIGURES.findIndex((figures) => figures === kind));
  const best = Math.max(...ranks);
  const [hasAlcohol, hasPrice] = [kinds.includes('abv'), kinds.includes('price')];
  const isLone = ranks.filter((rank) => rank >= 0).length === 1 && FIGURES[best] !== 'halves';
  const alcohol = hasAlcohol || (isLone && !hasPrice) ? -1 : ranks.indexOf(best);
  const other = hasPrice ? 'note' : 'price';
  return kinds.map((kind, at) => (ranks[at] === -1 ? /** @type {Column} */ (kind) : at === alcohol ? 'abv' : other));
}

/**
 * Use each type once; further columns of a type become notes. Without a name column, the first note
 * column is the name.
 * @param {Column[]} guessed
 * @param {number} count
 */
function onceEach(guessed, count) {
  const seen = new Set();
  const once = Array.from({ length: count }, (_, at) => guessed[at] ?? 'none').map((column) =>
    column === 'none' || seen.has(column) ? /** @type {Column} */ ('note') : (seen.add(column), column),
  );
  if (!seen.has('name') && once.length) once[Math.max(0, once.indexOf('note'))] = 'name';
  return once;
}
