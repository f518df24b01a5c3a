// Finds a vintage that was typed as part of a wine's name.

const OLDEST_YEAR = 1900;
/** A year longer ago than this is as likely to be the founding of a house. */
const SURE_YEARS = 40;
/** Words after which a number belongs to the name, in the languages of the app and of common labels. */
const NUMBERED = new RegExp(
  `(?:^| )(?:${[
    'n[o°º]?|nr|num[eé]ro|numero|lot|lotto|batch|bin|block|parcel(?:la|le)?|vineyard|barrel|cask|f[uû]t',
    "cuv[eé]e|since|depuis|dal|dall'anno|desde|seit|est|established|fondat[ao]|fond[eé]e?|anno",
    'anniversary|anniversaire|anniversario|rue|via|route|strada|km|casa|house',
  ].join('|')})\\.?$`,
  'iu',
);

/** @typedef {{ name: string, vintage: number, sure: boolean }} Found `name` is the name without the year */

/**
 * Find the vintage in a name. A recent year at the end or at the start is surely it if it is the only one. Another
 * year is only a possible one: it may be the number of a house, a founding year or the name of a blend.
 * @param {string} text the name as typed
 * @param {number} thisYear
 * @returns {Found | null} null if the name has no year, or nothing but one
 */
export function vintageInName(text, thisYear) {
  const words = text.trim().split(/\s+/);
  const years = words.flatMap((word, at) => (isYear(word, thisYear) ? [at] : []));
  const at = years.at(-1);
  if (at === undefined) return null;
  const left = [...words.slice(0, at), ...words.slice(at + 1)].join(' ').replace(/[,\s-]+$/, '');
  if (!/\p{L}/u.test(left)) return null;
  const vintage = Number(bare(words[at] ?? ''));
  const before = words.slice(0, at).join(' ');
  const isAtEdge = at === 0 || at === words.length - 1;
  const recent = years.filter((each) => thisYear - Number(bare(words[each] ?? '')) <= SURE_YEARS);
  const sure = isAtEdge && recent[0] === at && !NUMBERED.test(before);
  return { name: left, vintage, sure };
}

/** @param {string} word @param {number} thisYear */
function isYear(word, thisYear) {
  const year = bare(word);
  return /^\d{4}$/.test(year) && Number(year) >= OLDEST_YEAR && Number(year) <= thisYear;
}

/** @param {string} word @returns {string} without brackets and a comma around it */
const bare = (word) => word.replace(/^[([]|[)\],]+$/g, '');
