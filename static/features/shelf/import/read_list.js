// Reads a pasted list into rows, with columns or without.
import { withoutEarlierPrices } from '../../../rules/label_text/reductions.js';
import { withoutCommasBetween } from '../../../rules/label_text/servings.js';
import { bareCurrency, withCurrencyCodes } from './cell_amounts.js';
import { detectDelimiter, parseCsv } from './csv.js';
import { guessColumns } from './guess_columns.js';
import { parseRow } from './import_rows.js';
import { withoutLitrePrices } from './litre_prices.js';
import { readPlainLines } from './plain_lines.js';

/** @typedef {import('./import_rows.js').Column} Column */
/** @typedef {import('../list/shelf_state.js').Usual} Usual */

/** The comma of the thousands, in a line without another comma, which may part columns. */
const THOUSANDS = /^([^,\n]*[€£$¥] ?\d{1,3}),(?=\d{3}(?!\d)[^,\n]*$)/gm;
const COMMA_BEFORE_DASH = /(?<=\d),(?=[-\u2013\u2014]{1,2}(?![\p{L}\d]))/gu;
/** With the currency behind it, the dash is no missing value. */
const COMMA_IN_PRICE = /(?<=\d),(?=[-\u2013\u2014]{1,2}\s?(?:[€£$¥]|(?:EUR|CHF|GBP|USD)\b))/g;
/** A comma that parts columns: neither a space nor cents nor a dash follow it. */
const PARTING_COMMA = /,(?![\s\-\u2013\u2014]|$)(?!(?<=\d,)\d{1,2}(?!\d))/u;
/** What a list writes for a value that is missing. */
const MISSING = /^[-\u2013\u2014]+$/;

/** @param {string} written @param {Record<number, Column>} chosen @param {Usual} usual */
export function readList(written, chosen, usual) {
  // No line is added or removed, because the rows tell the number of theirs.
  const coded = withCurrencyCodes(written, usual.currency);
  const text = withoutCommasBetween(withoutEarlierPrices(withoutLitrePrices(coded)))
    .replace(THOUSANDS, '$1')
    .replace(/.+/g, withoutCommaBeforeDash);
  const thisYear = new Date().getFullYear();
  const plain = readPlainLines(text, thisYear);
  const lines = plain?.lines ?? filledCells(parseCsv(text, detectDelimiter(text)));
  const { heading, columns: guessed } = plain ? { heading: false, ...plain } : guessColumns(lines);
  const asColumns = guessed.map(
    (column, at) => chosen[at] ?? (Object.values(chosen).includes(column) ? 'none' : column),
  );
  const listed = lines.slice(heading ? 1 : 0);
  const prices = listed.map(({ cells }) => cells[asColumns.indexOf('price')] ?? '');
  const defaults = { ...usual, thisYear, bare: bareCurrency(prices, usual.currency) };
  const rows = listed.map((line) => parseRow(line, asColumns, defaults, heading ? (lines[0]?.cells ?? []) : []));
  return {
    lines,
    heading,
    isTable: !plain,
    columns: asColumns,
    valid: rows.filter((row) => row.errors.length === 0),
    invalid: rows.filter((row) => row.errors.length > 0),
  };
}

/** Write "15,-" as "15.-", unless the commas of the line part its columns. @param {string} line */
function withoutCommaBeforeDash(line) {
  const priced = line.replace(COMMA_IN_PRICE, '.');
  return PARTING_COMMA.test(priced) ? priced : priced.replace(COMMA_BEFORE_DASH, '.');
}

/** Empty the cells that have only a dash. @param {import('./csv.js').Line[]} lines */
function filledCells(lines) {
  return lines.map(({ line, cells }) => ({ line, cells: cells.map((cell) => (MISSING.test(cell) ? '' : cell)) }));
}

/**
 * Apply the user's corrections of styles, by line.
 * @param {ReturnType<typeof readList>} read
 * @param {Record<number, string | null>} corrected
 */
export function withStyles(read, corrected) {
  const valid = read.valid.map((row) => {
    if (!(row.line in corrected)) return row;
    const { style: _, ...bottle } = row.bottle;
    const style = corrected[row.line];
    return { ...row, bottle: style ? { ...bottle, style } : bottle };
  });
  return { ...read, valid };
}

/**
 * Return the lines that were added to a text at its end.
 * @param {string} before
 * @param {string} now
 * @returns {string | null} null if it was edited elsewhere
 */
export function addedAfter(before, now) {
  const [start, text] = [withNewlines(before).trimEnd(), withNewlines(now)];
  const more = text.slice(start.length);
  return text.startsWith(start) && /^\s*(?:\n|$)/.test(more) ? more.trim() : null;
}

/** @param {string} text */
const withNewlines = (text) => text.replace(/\r\n?/g, '\n');

/**
 * Return the text of the invalid rows and of the lines that follow them, with the heading line.
 * @param {string} text
 * @param {ReturnType<typeof readList>} read
 * @param {string} more lines after the text
 */
export function leftOver(text, read, more) {
  if (!read.invalid.length && !more) return '';
  const all = withNewlines(text).split('\n');
  const lineNumbers = new Set([...(read.heading ? [read.lines[0]?.line] : []), ...read.invalid.map((row) => row.line)]);
  const starts = read.lines.map((line) => line.line);
  const left = read.lines
    .filter(({ line }) => lineNumbers.has(line))
    .map(({ line }) => all.slice(line - 1, (starts.find((start) => start > line) ?? all.length + 1) - 1).join('\n'))
    .join('\n')
    .trimEnd();
  return [left, more].filter(Boolean).join('\n');
}
