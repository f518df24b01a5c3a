// Reads a shop's list: guesses the columns and checks the rows. Unknown columns become notes.
import { currencySign, parseNumber } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { filterItems } from '../../../components/form/search_select.js';
import { validateFields } from '../../../store/validate.js';
import { styleItems } from '../../../domain/bottle/style_search.js';
import { stylesFor } from '../../../rules/label/style_from_name.js';
import { readVintage } from '../../../rules/label/vintage.js';
import { OF_A_LITRE } from '../../../rules/label_text/amounts.js';
import { nameAndVintage } from './name_and_vintage.js';

/** @typedef {import('./csv.js').Line} Line */
/**
 * @typedef {'name' | 'producer' | 'vintage' | 'style' | 'abv' | 'price' | 'region' | 'gtin' | 'note' | 'none'}
 *   Column
 */
/** @typedef {import('../../../store/record.js').Fields} Fields */
/**
 * @typedef {{ line: number, bottle: Fields, pick: Fields, candidates: string[], errors: { column: Column, code:
 *   string, bound?: number }[] }} ParsedRow
 */

export const columns = /** @type {Column[]} */ ([
  'name',
  'producer',
  'vintage',
  'style',
  'abv',
  'price',
  'region',
  'gtin',
  'note',
  'none',
]);

const MAX_NOTE_LENGTH = 1000;
/** A word that no alcohol has beside it. */
const OTHER_WORD = /(?<!\p{L})(?!alc|alk|vol)\p{L}{3}/iu;

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
  abv: ['abv', 'alc', 'alcohol', 'alcool', 'alcol', 'alkohol', 'vol', 'strength', 'grad', 'gradazione', '%'],
  price: ['price', 'prix', 'prezzo', 'preis', 'precio', 'eur', 'gbp', 'usd', 'chf', 'cost'],
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
  const named = first.cells.map(columnNamed);
  const heading =
    named.filter((column) => column !== 'none').length >= 2 &&
    first.cells.every(
      (cell) => parseNumber(parseAmount(cell)) === null || Number.isNaN(parseNumber(parseAmount(cell))),
    );
  const kinds = first.cells.map((_, at) => columnOf(lines.map((line) => line.cells[at] ?? '')));
  const guessed = heading ? named : withFigures(kinds);
  return { heading, columns: onceEach(guessed, first.cells.length) };
}

/** @param {string} cell @returns {Column} */
function columnNamed(cell) {
  if (OF_A_LITRE.test(cell)) return 'none';
  const words = plainText(cell)
    .split(/[^\p{L}%]+/u)
    .filter(Boolean);
  const found = Object.entries(HEADINGS).find(([, names]) => words.some((word) => names.includes(word)));
  return /** @type {Column} */ (found?.[0] ?? 'none');
}

/** @typedef {'whole' | 'halves'} Figures numbers that may be alcohol or prices: whole ones, or some and a half */

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
  if (mostMatch((cell) => /\d\s*(?:%|vol\b)/i.test(cell) && !OTHER_WORD.test(cell))) return 'abv';
  if (mostMatch((cell) => /[€$£¥]|\b(EUR|GBP|USD|CHF)\b|\bFr\.|\d[.,][-\u2013\u2014]/.test(cell))) return 'price';
  const numbers = filled
    .map((cell) => parseNumber(parseAmount(cell)))
    .filter((value) => value !== null && !Number.isNaN(value))
    .map(Number);
  if (numbers.length > filled.length / 2) {
    const isAlcohol = numbers.every((value) => value >= 5 && value <= 22 && Number.isInteger(value * 2));
    if (isAlcohol) return numbers.every(Number.isInteger) ? 'whole' : 'halves';
    return 'price';
  }
  return 'name';
}

/**
 * Decide what the figures are: the first the alcohol, the next the price, unless other columns are that. A lone column
 * of whole numbers is the price, because without it a list says what the bottles cost sooner than their alcohol.
 * @param {(Column | Figures)[]} kinds
 * @returns {Column[]}
 */
function withFigures(kinds) {
  const figures = kinds.filter((kind) => kind === 'whole' || kind === 'halves');
  const isLone = figures.length === 1 && figures[0] === 'whole';
  const missing = /** @type {Column[]} */ (isLone ? ['price', 'abv'] : ['abv', 'price']).filter(
    (column) => !kinds.includes(column),
  );
  return kinds.map((kind) => (kind === 'whole' || kind === 'halves' ? (missing.shift() ?? 'note') : kind));
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

/**
 * @param {Line} line
 * @param {Column[]} asColumns
 * @param {{ currency: string | null, shop: string | null, label_market: string | null, thisYear: number }} usual
 *   defaults for each row
 * @param {string[]} headings empty if the list has none
 * @returns {ParsedRow} with errors if the row cannot be imported
 */
export function parseRow({ line, cells }, asColumns, usual, headings) {
  const cell = (/** @type {Column} */ column) => cells[asColumns.indexOf(column)] || null;
  const notes = cells.flatMap((text, at) => (asColumns[at] === 'note' && text ? noted(headings[at], text) : []));
  const usable = (/** @type {Column} */ column) => {
    notes.push(noted(t(`shelf.column_${column}`), cell(column) ?? ''));
  };
  const number = (/** @type {Column} */ column) => {
    const written = cell(column);
    const value = parseNumber(parseAmount(written ?? ''));
    if (value === null ? !written : !Number.isNaN(value)) return value;
    usable(column);
    return null;
  };
  const { name, year } = nameAndVintage(cell('name'), cell('vintage'), usual.thisYear);
  const named = cell('style') && filterItems(styleItems(), String(cell('style')))[0]?.id;
  const candidates = stylesFor(name ?? '', { grapes: cell('style'), region: cell('region') });
  const [first] = candidates;
  // No style is better than a wrong one if the match is unsure.
  const style = named || (first && first.certainty !== 'unsure' ? first.style : null);
  if (!year) usable('vintage');
  const bottle = present({
    name,
    producer: cell('producer'),
    ...year,
    region: cell('region'),
    gtin: cell('gtin'),
    style,
    label_abv: number('abv'),
    label_market: usual.label_market,
  });
  const pick = present({
    price: number('price'),
    currency: currencyOf(cell('price'), usual.currency),
    shop: usual.shop,
  });
  const errors = bottle['name'] ? nameErrors(bottle) : [{ column: /** @type {const} */ ('name'), code: 'missing' }];
  for (const [kind, fields] of /** @type {const} */ ([
    ['bottle', bottle],
    ['pick', pick],
  ])) {
    for (const field of Object.keys(validateFields(kind, fields)).filter((each) => each !== 'name')) {
      const column = field === 'label_abv' ? 'abv' : /** @type {Column} */ (field);
      if (asColumns.includes(column)) usable(column);
      delete fields[field];
    }
  }
  const note = notes.join('\n').slice(0, MAX_NOTE_LENGTH);
  return {
    line,
    bottle,
    pick: note ? { ...pick, words: note } : pick,
    candidates: candidates.map((each) => each.style),
    errors,
  };
}

/** @param {Fields} bottle @returns {ParsedRow['errors']} */
function nameErrors(bottle) {
  const [error] = validateFields('bottle', { name: bottle['name'] })['name'] ?? [];
  return error
    ? [{ column: 'name', code: error.code, ...(error.bound === undefined ? {} : { bound: Number(error.bound) }) }]
    : [];
}

/** @param {string | undefined} heading @param {string} text */
function noted(heading, text) {
  return heading ? `${heading}: ${text}` : text;
}

/**
 * Parse a number with currency, unit or thousands separators. If it has point and comma, the last
 * one is the decimal separator; a single one before just three digits parts the thousands.
 * @param {string} cell
 */
export function parseAmount(cell) {
  const clean = cell
    .replace(/[€$£¥%]|\b[A-Z]{3}\b|\b(?:vol|alc|fr)\b\.?|['\u2019\s]/gi, '')
    .replace(/[.,][-\u2013\u2014]+$/, '');
  const [point, comma] = [clean.lastIndexOf('.'), clean.lastIndexOf(',')];
  if (point >= 0 && comma >= 0) return clean.replaceAll(point > comma ? ',' : '.', '');
  const mark = point >= 0 ? '.' : ',';
  if (/^[1-9]\d{0,2}[.,]\d{3}$/.test(clean)) return clean.replace(mark, '');
  return clean.split(mark).length > 2 ? clean.replaceAll(mark, '') : clean;
}

const MONEY = /** @type {Record<string, string>} */ ({ '€': 'EUR', '£': 'GBP', '¥': 'JPY', fr: 'CHF' });

/** "$" is a currency only if the usual one is a dollar. @param {string | null} cell @param {string | null} usual */
export function currencyOf(cell, usual) {
  const isOther = cell?.includes('$') && !(usual && currencySign(usual).includes('$'));
  return currencyIn(cell) ?? (isOther ? null : usual);
}

/** Find the currency. "$" is ambiguous and gives none. @param {string | null} cell */
function currencyIn(cell) {
  const code = cell?.match(/\b[A-Z]{3}\b/)?.[0];
  if (code && Intl.supportedValuesOf('currency').includes(code)) return code;
  return MONEY[cell?.match(/[€£¥]|\bfr\b/i)?.[0].toLowerCase() ?? ''] ?? null;
}

/** @param {Fields} fields */
function present(fields) {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null && value !== undefined));
}
