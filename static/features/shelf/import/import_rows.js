// Reads the rows of a shop's list and checks them. Unknown columns become notes.
import { groupsThousands } from '../../../lib/currency_digits.js';
import { t } from '../../../i18n.js';
import { filterItems } from '../../../components/form/search_select.js';
import { validateFields } from '../../../store/validate.js';
import { styleItems } from '../../../domain/bottle/style_search.js';
import { styleOf } from '../../../domain/style_names.js';
import { certainStyle, colourInName, stylesFor } from '../../../rules/label/style_from_name.js';
import { currencyOf, parseAmount } from './cell_amounts.js';
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

/**
 * @param {Line} line
 * @param {Column[]} asColumns
 * @param {{ currency: string | null, bare: string | null, shop: string | null, label_market: string | null, thisYear:
 *   number }} usual defaults for each row; `bare` is the currency of a price without one
 * @param {string[]} headings empty if the list has none
 * @returns {ParsedRow} with errors if the row cannot be imported
 */
export function parseRow({ line, cells }, asColumns, usual, headings) {
  const cell = (/** @type {Column} */ column) => cells[asColumns.indexOf(column)] || null;
  const notes = cells.flatMap((text, at) => (asColumns[at] === 'note' && text ? noted(headings[at], text) : []));
  const keepAsNote = (/** @type {Column} */ column) => {
    notes.push(noted(t(`shelf.column_${column}`), cell(column) ?? ''));
  };
  const currency = currencyOf(cell('price'), usual.currency, usual.bare);
  const number = (/** @type {Column} */ column, thousands = false) => {
    const written = cell(column);
    const value = parseAmount(written ?? '', thousands);
    if (value === null ? !written : !Number.isNaN(value)) return value;
    keepAsNote(column);
    return null;
  };
  const { name, year } = nameAndVintage(cell('name'), cell('vintage'), usual.thisYear);
  const named = cell('style') && filterItems(styleItems(), String(cell('style')))[0]?.id;
  const candidates = stylesFor(name ?? '', { grapes: cell('style'), region: cell('region') });
  const style = named || certainStyle(candidates);
  // A style may have wines of several colours, and is stored with the commonest: "Pét-Nat rosé".
  const colour = style && !named && name ? colourInName(name) : null;
  if (!year) keepAsNote('vintage');
  const bottle = present({
    name,
    producer: cell('producer'),
    ...year,
    region: cell('region'),
    gtin: cell('gtin'),
    style,
    colour: colour === styleOf(style)?.colour ? null : colour,
    label_abv: number('abv'),
    label_market: usual.label_market,
  });
  const pick = present({
    price: number('price', groupsThousands(currency)),
    currency,
    shop: usual.shop,
  });
  const errors = bottle['name'] ? nameErrors(bottle) : [{ column: /** @type {const} */ ('name'), code: 'missing' }];
  for (const [kind, fields] of /** @type {const} */ ([
    ['bottle', bottle],
    ['pick', pick],
  ])) {
    for (const field of Object.keys(validateFields(kind, fields)).filter((each) => each !== 'name')) {
      const column = field === 'label_abv' ? 'abv' : /** @type {Column} */ (field);
      if (asColumns.includes(column)) keepAsNote(column);
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
  return heading ? t('book.share_line', { name: heading, value: text }) : text;
}

/** @param {Fields} fields */
function present(fields) {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== null && value !== undefined));
}
