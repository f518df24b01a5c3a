// Collects guesses that were locked before the label was revealed, each with the label's value.
import { resolveBottle } from '../../domain/bottle_names.js';
import { isLeftOut } from '../../domain/faults.js';
import { grapesText, styleName } from '../../domain/style_names.js';
import { judgedLabel } from '../../domain/table/truth.js';
import { rightGrapes, sameGrape } from '../../rules/tasting/same_grape.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ id: string, at: string, name: string, guess: number, truth: number }} NumericGuess */
/** @typedef {{ guess: string | null | undefined, truth: string | null | undefined, right: boolean }} Named */
/**
 * @typedef {{ id: string, at: string, name: string, guess: string, truth: string, right: boolean, answers: string[] }}
 *   NamedGuess `answers` are all that would have been right
 */
/**
 * @typedef {{ abv: NumericGuess[], age: NumericGuess[], style: NamedGuess[], grape: NamedGuess[] }} Sheet each
 *   oldest first
 */

const GUESSES = ['guess_abv', 'guess_age_years', 'guess_style', 'guess_grape'];

/**
 * Tell whether the guesses were locked before the label was revealed. A faulty bottle says nothing, as on the Palate.
 * @param {Row} row
 */
function isScored({ fields }) {
  return (
    fields['label_hidden'] === true &&
    !isLeftOut(fields) &&
    Boolean(fields['guesses_locked_at']) &&
    Boolean(fields['uncovered_at']) &&
    Date.parse(fields['guesses_locked_at']) <= Date.parse(fields['uncovered_at'])
  );
}

/**
 * @param {Row[]} tastings in order of tasting
 * @param {Map<string, Row>} bottles
 * @param {(fields: Record<string, any>) => string} nameOf
 * @returns {Sheet}
 */
export function collectGuesses(tastings, bottles, nameOf) {
  /** @type {Sheet} */
  const sheet = { abv: [], age: [], style: [], grape: [] };
  for (const { id, fields } of tastings.filter(isScored)) {
    const bottle = resolveBottle(bottles, fields['bottle'])?.fields;
    if (!bottle || bottle['covered']) continue;
    const row = { id, at: String(fields['tasted_at'] ?? ''), name: nameOf(bottle) };
    const age = bottle['vintage'] && row.at ? Math.max(0, Number(row.at.slice(0, 4)) - bottle['vintage']) : null;
    addNumeric(sheet.abv, row, fields['guess_abv'], judgedLabel(bottle)['label_abv']);
    addNumeric(sheet.age, row, fields['guess_age_years'], age);
    const [guess, truth] = [styleName(fields['guess_style']), styleName(bottle['style'])];
    const isStyle = fields['guess_style'] === bottle['style'];
    addNamed(sheet.style, row, { guess, truth, right: isStyle }, [truth]);
    const grapes = grapesText(bottle);
    const grape = { guess: fields['guess_grape'], truth: grapes, right: sameGrape(fields['guess_grape'], grapes) };
    addNamed(sheet.grape, row, grape, rightGrapes(grapes));
  }
  return sheet;
}

/**
 * Name the text to show if no guess can be compared; null if one can. A label may lack what was guessed.
 * @param {Row[]} tastings
 * @param {Sheet} sheet of the same tastings
 */
export function lackOfGuesses(tastings, sheet) {
  if (Object.values(sheet).some((guesses) => guesses.length > 0)) return null;
  const isGuessed = tastings.some(
    (row) => isScored(row) && GUESSES.some((field) => (row.fields[field] ?? null) !== null),
  );
  return isGuessed ? 'evening.guesses_no_truth' : 'evening.guesses_none';
}

/**
 * @param {NumericGuess[]} into
 * @param {{ id: string, at: string, name: string }} row
 * @param {unknown} guess
 * @param {unknown} truth
 */
function addNumeric(into, row, guess, truth) {
  if (typeof guess === 'number' && typeof truth === 'number') into.push({ ...row, guess, truth });
}

/**
 * @param {NamedGuess[]} into
 * @param {{ id: string, at: string, name: string }} row
 * @param {Named} named
 * @param {string[]} answers
 */
function addNamed(into, row, { guess, truth, right }, answers) {
  if (guess && truth) into.push({ ...row, guess, truth, right, answers });
}

/**
 * Count the right guesses of somebody who always names the most frequent answer; any grape of a blend is right.
 * @param {{ answers: string[] }[]} guesses
 */
export function baselineRate(guesses) {
  const counts = new Map();
  for (const each of guesses.flatMap(({ answers }) => answers)) counts.set(each, (counts.get(each) ?? 0) + 1);
  return Math.max(0, ...counts.values());
}
