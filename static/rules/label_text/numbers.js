// Reads the vintage and the contents in lines of a label.

/** @typedef {{ value: number, clear: boolean, text: string }} Found `clear`: complete, and nothing was repaired */

const OLDEST_YEAR = 1900;
/** An older year is as likely that of a founding. */
const SURE_YEARS = 40;
/** Words after which a number is no vintage. */
const NUMBERED = new RegExp(
  `(?:${[
    'n[o°º]|nr|num[eé]ro|lot|lotto|batch|bin|block|l',
    'since|depuis|dal|dall.anno|desde|seit|est|established|estab|fondat[ao]|fond[eé]e?|gegr[uü]ndet|anno|founded',
    'rue|via|route|stra(?:da|ße|sse)|km|tel|fax|www',
  ].join('|')})[.:]?\\s*$`,
  'iu',
);
const YEAR = /(?<![\d\p{L}.,/-])((?:[12][\dOolI|SBQ]{3}))(?![\d\p{L}]|[.,/]\d|\s?%)/gu;
const LETTERS = new Map(Object.entries({ O: '0', o: '0', Q: '0', l: '1', I: '1', '|': '1', S: '5', B: '8' }));

/**
 * Return the years in a line that may be the vintage.
 * @param {string} line
 * @param {number} thisYear
 * @returns {Found[]}
 */
export function vintagesIn(line, thisYear) {
  return [...line.matchAll(YEAR)].flatMap((match) => {
    const text = String(match[1]);
    const digits = text.replace(/\D/g, (letter) => LETTERS.get(letter) ?? letter);
    const value = Number(digits);
    if (!(value >= OLDEST_YEAR && value <= thisYear)) return [];
    if (NUMBERED.test(line.slice(0, match.index))) return [];
    return [{ value, clear: digits === text && thisYear - value <= SURE_YEARS, text }];
  });
}

/** Contents of bottles that are sold, in millilitres (EU Directive 2007/45/EC, 27 CFR 4.72, and larger bottles). */
const SIZES = [
  100, 187, 200, 250, 300, 355, 375, 500, 600, 620, 700, 720, 750, 1000, 1500, 1800, 2250, 3000, 4500, 5000,
];
const SIZES_ALL = new Set([...SIZES, 6000, 9000, 12000, 15000]);
const UNITS = /** @type {[RegExp, number][]} */ ([
  [/^m[l1I|i]$/i, 1],
  [/^c[l1I|i]$/i, 10],
  [/^(?:[l1I|]|lit(?:re|er|ro|ri|res)s?|lt)$/i, 1000],
]);
const UNIT = 'm[l1I|i]|c[l1I|i]|l(?:it(?:re|er|ro|ri)s?|t)?';
const CONTENTS = new RegExp(
  `(?<![\\d.,])(\\d{1,4}(?:\\s?[.,]\\s?\\d{1,3})?)\\s?(${UNIT})(?:\\s?[e℮])?(?![\\p{L}\\d])`,
  'iu',
);
/** "0,75 l", of which the letter is read as a digit. */
const LITRES = /(?<![\d.,])([01][.,]\d{1,3}?)\s?([1|I])(?![\p{L}\d]|\s?%)/u;

/**
 * @param {string} line
 * @returns {Found | null} the contents in millilitres
 */
export function volumeIn(line) {
  const match = CONTENTS.exec(line) ?? LITRES.exec(line);
  if (!match) return brokenVolumeIn(line);
  const unit = String(match[2]);
  const factor = UNITS.find(([form]) => form.test(unit))?.[1] ?? 0;
  const value = Math.round(Number(String(match[1]).replace(/\s/g, '').replace(',', '.')) * factor);
  if (!SIZES_ALL.has(value)) return brokenVolumeIn(line);
  return { value, clear: /^(?:[mc]?l|[mc]L|L|lit.*)$/.test(unit), text: match[0] };
}

/** Statements that stand alone on their line and lost a comma, a unit or a stroke of it, with their millilitres. */
const BROKEN = /** @type {[RegExp, number][]} */ ([
  [/^\W*0\s?[.,]?\s?75\s?[1lI|]\W*$/, 750],
  [/^\W*750\W*$/, 750],
  [/^\W*75\s?(?:[dao]l|[cd]e)\W*$/, 750],
  [/^\W*150\s?[dao]l\W*$/, 1500],
]);

/** @param {string} line @returns {Found | null} never clear */
function brokenVolumeIn(line) {
  const value = BROKEN.find(([form]) => form.test(line))?.[1];
  return value ? { value, clear: false, text: line.trim() } : null;
}
