// Turns the lines that were read on a label into proposals for the fields of a bottle.
import { isNotWine } from '../label/not_wine.js';
import { stylesFor } from '../label/style_from_name.js';
import { alcoholIn, isLawfulStep } from './alcohol.js';
import { vintagesIn, volumeIn } from './numbers.js';
import { countryIn, marketOf } from './origin.js';
import { definedWordsIn } from './words.js';

/** @typedef {{ x: number, y: number, width: number, height: number }} Box */
/** @typedef {{ text: string, confidence: number, box: Box }} Word */
/** @typedef {Word & { words: Word[], at: number }} Line `at` is the same in every reading of a line */
/**
 * @typedef {{ field: string, value: unknown, text: string, sure: boolean, confidence: number, box: Box }} Proposal
 */
/** @typedef {{ thisYear: number, market: string | null }} Context */

/** The least confidence of a number that is sure. */
const SURE = 0.8;
/** A line of less confidence is no name. */
const READABLE = 0.4;
const MOST_STYLES = 3;

/** A line of less confidence is read again. */
const DOUBTFUL = 0.75;

/**
 * Tell whether a line is worth a second reading: it may have a number for a field, or be a name that was read badly.
 * @param {Line} line
 */
export function deservesAnother({ text, confidence }) {
  return /\d{2}/.test(text) || /%|\bvol\b|\balc\b|\balk\b/i.test(text) || confidence < DOUBTFUL;
}

/**
 * @param {Line[]} lines the first reading, from top to bottom
 * @param {Line[][]} others further readings of some of the lines
 * @param {Context} context
 * @returns {Proposal[]}
 */
export function proposalsOf(lines, others, { thisYear, market }) {
  const readable = lines.filter(({ confidence }) => confidence >= READABLE);
  const countries = readable.flatMap((line) => found('country', countryIn(line.text), line));
  const country = /** @type {string | null} */ (countries[0]?.value ?? null);
  const sold = marketOf(
    readable.map(({ text }) => text),
    country,
  );
  const forMarket = market ?? sold?.value ?? null;
  const proposals = [
    ...alcoholProposals(lines, others, forMarket),
    ...vintageProposals(lines, others, thisYear),
    ...volumeProposals(lines, others),
    ...once(readable.flatMap((line) => definedWordsIn(line.text).flatMap((word) => found(word.field, word, line)))),
    ...countries.slice(0, 1),
  ];
  const place = sold && (readable.find(({ text }) => text === sold.text) ?? lineOf(readable, countries[0]));
  if (sold && place) proposals.push(...found('label_market', sold, place));
  return [...proposals, ...styleProposals([lines, ...others], proposals, country)];
}

/** @param {Line[]} lines @param {Proposal | undefined} proposal */
const lineOf = (lines, proposal) => lines.find(({ box }) => box === proposal?.box);

/**
 * @param {string} field
 * @param {{ value: unknown, clear: boolean, text: string } | null} hit
 * @param {Line} line
 * @returns {Proposal[]}
 */
function found(field, hit, line) {
  if (!hit) return [];
  const sure = hit.clear && line.confidence >= SURE;
  return [{ field, value: hit.value, text: line.text, sure, confidence: line.confidence, box: line.box }];
}

/** @param {Proposal[]} proposals @returns {Proposal[]} each value of a field once */
function once(proposals) {
  const seen = new Set();
  return proposals.filter(({ field, value }) => {
    const key = `${field} ${value}`;
    return seen.has(key) ? false : Boolean(seen.add(key));
  });
}

/** @param {Line} line @returns {number} the least confidence of its words with digits */
function digitConfidence({ words, confidence }) {
  const numbers = words.filter(({ text }) => /\d/.test(text)).map((word) => word.confidence);
  return numbers.length ? Math.min(...numbers) : confidence;
}

/**
 * Return what the readings of each line say, with the number of readings that agree on it.
 * @template T
 * @param {Line[]} lines
 * @param {Line[][]} others
 * @param {(text: string) => T | null} read
 * @param {(value: T) => string} key
 * @returns {{ line: Line, value: T, agree: boolean, confidence: number }[]}
 */
function readAll(lines, others, read, key) {
  const places = [...new Set([lines, ...others].flat().map(({ at }) => at))];
  return places.flatMap((at) => {
    const readings = [lines, ...others].flatMap((all) => all.filter((line) => line.at === at));
    const hits = readings.flatMap((line) => {
      const value = read(line.text);
      return value ? [{ line, value, confidence: digitConfidence(line) }] : [];
    });
    const [best] = [...hits].sort((a, b) => b.confidence - a.confidence);
    if (!best) return [];
    const same = hits.filter(({ value }) => key(value) === key(best.value));
    // Every further reading that was made must say the same.
    return [{ ...best, agree: same.length === readings.length && same.length > 1 }];
  });
}

/** @param {Line[]} lines @param {Line[][]} others @param {string | null} market @returns {Proposal[]} */
function alcoholProposals(lines, others, market) {
  const read = readAll(lines, others, alcoholIn, ({ low, high }) => `${low} ${high}`);
  const clear = read.filter(({ value }) => value.clear);
  const candidates = clear.length ? clear : read;
  const values = new Set(candidates.map(({ value: { low, high } }) => `${low} ${high}`));
  const [best] = [...candidates].sort((a, b) => b.confidence - a.confidence);
  if (!best) return [];
  const { line, value, agree, confidence } = best;
  const lawful = isLawfulStep(value.low, market) && isLawfulStep(value.high, market);
  const sure = value.clear && agree && confidence >= SURE && values.size === 1 && lawful;
  const common = { text: line.text, sure, confidence, box: line.box };
  if (value.low === value.high) return [{ field: 'label_abv', value: value.low, ...common }];
  return [
    { field: 'label_abv_low', value: value.low, ...common },
    { field: 'label_abv_high', value: value.high, ...common },
  ];
}

/** @param {Line[]} lines @param {Line[][]} others @param {number} thisYear @returns {Proposal[]} */
function vintageProposals(lines, others, thisYear) {
  const read = readAll(
    lines,
    others,
    (text) => vintagesIn(text, thisYear)[0] ?? null,
    ({ value }) => String(value),
  );
  // The vintage is printed larger than other years.
  const [best, ...rest] = [...read].sort((a, b) => weight(b) - weight(a));
  if (!best) return [];
  const { line, value, agree, confidence } = best;
  const sure = value.clear && agree && confidence >= SURE && rest.every((each) => each.value.value === value.value);
  return [{ field: 'vintage', value: value.value, text: line.text, sure, confidence, box: line.box }];
}

/** @param {{ line: Line, value: { clear: boolean }, confidence: number }} candidate */
function weight({ line, value, confidence }) {
  return line.box.height * confidence * (value.clear ? 1 : 0.5) * (line.words.length <= 2 ? 1.5 : 1);
}

/** @param {Line[]} lines @param {Line[][]} others @returns {Proposal[]} */
function volumeProposals(lines, others) {
  const read = readAll(lines, others, volumeIn, ({ value }) => String(value));
  const [best] = [...read].sort((a, b) => b.confidence - a.confidence);
  if (!best) return [];
  const { line, value, agree, confidence } = best;
  const values = new Set(read.map((each) => each.value.value));
  const sure = value.clear && agree && confidence >= SURE && values.size === 1;
  return [{ field: 'volume_ml', value: value.value, text: line.text, sure, confidence, box: line.box }];
}

/** The start of a word of a sentence; articles and prepositions within a name are shorter. */
const SENTENCE = /(?<!\p{L})\p{Ll}\p{L}{3}/u;

/**
 * Drop the sentences that speak of cider or the like, such as "perfect for sangria"; a drink of that name has no line
 * of a wine.
 * @param {Line[]} lines
 */
function winesAmong(lines) {
  if (!isNotWine(lines.map(({ text }) => text).join(' | '))) return lines;
  const others = lines.filter(({ text }) => isNotWine(text));
  return others.every(({ text }) => SENTENCE.test(text)) ? lines.filter((line) => !others.includes(line)) : [];
}

/**
 * @param {Line[][]} readings
 * @param {Proposal[]} proposals
 * @param {string | null} country
 * @returns {Proposal[]}
 */
function styleProposals(readings, proposals, country) {
  const numbers = new Set(proposals.filter(({ field }) => /abv|volume|country/.test(field)).map(({ box }) => box));
  const named = winesAmong(readings.flat().filter(({ box, text }) => !numbers.has(box) && /\p{L}{3}/u.test(text)));
  const text = named.map((line) => line.text).join(' | ');
  const styles = stylesFor(text, { country }).slice(0, MOST_STYLES);
  return styles.flatMap(({ style, certainty }) => {
    const line = named.find((each) => stylesFor(each.text, { country }).some((one) => one.style === style)) ?? named[0];
    if (!line) return [];
    const sure = certainty === 'certain' && line.confidence >= SURE;
    return [{ field: 'style', value: style, text: line.text, sure, confidence: line.confidence, box: line.box }];
  });
}
