// Finds the style in a wine's name: appellation or grape, then words for colour and sweetness.
// Gives none if unsure.
import table from '../../spec/wine_names.json' with { type: 'json' };
import { plainText, withinOneTypo } from '../../lib/plain_text.js';

/** @typedef {'certain' | 'likely' | 'unsure'} Certainty */
/** @typedef {{ style: string, certainty: Certainty }} Candidate */
/**
 * @typedef {{ kind: string, country?: string, colour?: string, default?: string, styles?: Record<string, string>,
 *   by?: Record<string, string>, sweet?: Record<string, string>, auslese?: Record<string, string>,
 *   names: string[] }} Group
 */
/** @typedef {{ words: string[], group: Group }} Entry */
/** @typedef {Entry & { at: number, typo: boolean }} Hit */
/**
 * @typedef {{ region?: string | null, country?: string | null, colour?: string | null, grapes?: string | null }}
 *   Also
 */

const TYPO_LETTERS = 5;

// Words for colour and sweetness on labels, in normalized form.
const TAGS = /** @type {Record<string, string>} */ (
  Object.fromEntries(
    Object.entries({
      red: 'rouge rosso tinto red rot rotwein',
      white: 'blanc bianco blanco weiss weisswein white branco',
      rose: 'rose rosato rosado rosewein',
      sweet: 'moelleux liquoreux doux dolce dulce sweet passito sgn grains edelsuss late',
      demisec: 'demi amabile abboccato semiseco halbtrocken feinherb',
      sparkling: 'brut spumante sparkling mousseux sekt petillant espumante espumoso frizzante cremant',
      crianza: 'crianza',
      joven: 'joven',
      reserva: 'reserva',
      kabinett: 'kabinett',
      spatlese: 'spatlese',
      auslese: 'auslese',
      dry: 'trocken dry sec secco seco gg',
      fortified: 'fortified',
      orange: 'orange qvevri macerated',
    }).flatMap(([tag, words]) => words.split(' ').map((word) => [word, tag])),
  )
);
const COLOURS = ['red', 'white', 'rose'];
/** Words that the style must match; otherwise no style is suggested. */
const DECISIVE = ['rose', 'sparkling', 'sweet', 'demisec', 'auslese', 'fortified', 'orange'];

/** @param {string} text */
export function wordsOf(text) {
  return plainText(text)
    .replace(/\bst[. -]/g, 'saint ')
    .replace(/\bste[. -]/g, 'sainte ')
    .replace(/\bch[.] /g, 'chateau ')
    .split(/[^\p{L}\p{N}]+/u)
    .filter(Boolean);
}

/** @type {Map<string, Entry[]> | null} */
let made = null;

/** Return the names by their number of words, built on first use. */
function entries() {
  if (made) return made;
  made = new Map();
  for (const group of /** @type {Group[]} */ (/** @type {unknown} */ (table.groups))) {
    for (const name of group.names) {
      const words = wordsOf(name);
      const key = words[0] ?? '';
      made.set(key, [...(made.get(key) ?? []), { words, group }]);
    }
  }
  return made;
}

/**
 * Find names in the words, exact ones first; typos are tried only if no appellation or wine
 * matches.
 * @param {string[]} words
 * @returns {Hit[]}
 */
function hitsIn(words) {
  const exact = words.flatMap((word, at) =>
    (entries().get(word) ?? [])
      .filter((entry) => entry.words.every((each, i) => words[at + i] === each))
      .map((entry) => ({ ...entry, at, typo: false })),
  );
  if (exact.some((hit) => (hit.group.styles && Object.keys(hit.group.styles).length > 0) || hit.group.kind === 'grape'))
    return exact;
  const placed = exact.some((hit) => hit.group.kind !== 'place');
  const close = (/** @type {string | undefined} */ a, /** @type {string} */ b) =>
    a === b || (a !== undefined && a.length >= TYPO_LETTERS && b.length >= TYPO_LETTERS && withinOneTypo(a, b));
  const near = words.flatMap((_, at) =>
    [...entries().values()]
      .flat()
      .filter(
        (entry) =>
          (placed ? entry.group.kind === 'grape' : entry.group.kind !== 'place') &&
          entry.words.every((each, i) => close(words[at + i], each)),
      )
      .map((entry) => ({ ...entry, at, typo: true })),
  );
  return [...exact, ...near];
}

/** @param {Hit} hit */
const letters = (hit) => hit.words.join('').length;

/**
 * Drop hits inside longer ones, and sort: appellations before grapes, longest first.
 * @param {Hit[]} hits
 */
function ranked(hits) {
  const inside = (/** @type {Hit} */ a, /** @type {Hit} */ b) =>
    a !== b && a.at >= b.at && a.at + a.words.length <= b.at + b.words.length && a.words.length < b.words.length;
  const rank = (/** @type {Hit} */ hit) => (hit.group.kind === 'grape' ? 1 : 0);
  return hits
    .filter((hit) => !hits.some((other) => inside(hit, other)))
    .sort((a, b) => rank(a) - rank(b) || letters(b) - letters(a));
}

/** @param {string[]} words outside of the found names */
function tagsOf(words) {
  return new Set(
    words.flatMap((word, at) => {
      if (word === 'late' && !/^harvest/.test(words[at + 1] ?? '')) return [];
      if (word === 'vendange' || word === 'vendanges') return /^tardive/.test(words[at + 1] ?? '') ? ['sweet'] : [];
      return TAGS[word] ?? [];
    }),
  );
}

/** @param {Group} group @param {Set<string>} tags @returns {string | null} */
function styleOfGroup(group, tags) {
  const styles = group.styles ?? {};
  const told = COLOURS.filter((colour) => tags.has(colour));
  if (told.length > 1) return null;
  for (const tag of ['sparkling', 'sweet', 'demisec', 'dry', 'reserva', 'crianza', 'joven'])
    if (tags.has(tag) && styles[tag] && !told.length) return styles[tag] === '-' ? null : (styles[tag] ?? null);
  const style =
    styles[told[0] ?? group.default ?? (Object.keys(styles).length === 1 ? (Object.keys(styles)[0] ?? '') : '')] ??
    null;
  if (!style || style === '-') return null;
  const sparkles = style.startsWith('spk_');
  const sweet = style.startsWith('swt_') || style.startsWith('frt_');
  const against = DECISIVE.filter(
    (tag) =>
      tags.has(tag) &&
      !(tag === 'rose' && told[0] === 'rose') &&
      !(tag === 'sparkling' && sparkles) &&
      !(tag === 'orange' && style.startsWith('org_')) &&
      !(['sweet', 'fortified', 'auslese'].includes(tag) && sweet),
  );
  return against.length ? null : style;
}

/**
 * @param {Group} group
 * @param {Set<string>} tags
 * @param {string | null} country
 * @returns {string | null}
 */
function styleOfGrape(group, tags, country) {
  const told = COLOURS.find((colour) => tags.has(colour));
  if (told && told !== group.colour) return null;
  const here = (/** @type {Record<string, string> | undefined} */ by) => by?.[country ?? ''] ?? by?.['*'] ?? null;
  const style = here(group.by);
  if (tags.has('sparkling')) return style?.startsWith('spk_') ? style : null;
  if (tags.has('sweet')) return here(group.sweet);
  if (tags.has('auslese') && !tags.has('dry')) return here(group.auslese);
  if (!style) return null;
  if (style.startsWith('wht_riesling') && country === 'DE') {
    if (tags.has('dry')) return style;
    if (tags.has('spatlese')) return 'wht_riesling_spatlese';
    if (tags.has('kabinett')) return 'wht_riesling_kabinett';
  }
  return DECISIVE.some((tag) => tags.has(tag)) ? null : style;
}

/** @param {Hit[]} hits @param {Also} also */
function countryOf(hits, also) {
  if (also.country) return also.country;
  const region = also.region ? hitsIn(wordsOf(also.region)) : [];
  const said = [...hits, ...region]
    .filter((hit) => hit.group.kind !== 'grape' && hit.group.country && !hit.typo)
    .map((hit) => hit.group.country);
  return new Set(said).size === 1 ? (said[0] ?? null) : null;
}

/**
 * Suggest styles for a wine's name; the name takes precedence over the region.
 * @param {string} name
 * @param {Also} [also]
 * @returns {Candidate[]} best first
 */
export function stylesFor(name, also = {}) {
  const words = wordsOf(name);
  const hits = ranked(hitsIn(words));
  const named = hits.filter((hit) => hit.group.kind !== 'place');
  const spoken = named.length
    ? named
    : ranked(hitsIn(wordsOf([also.grapes, also.region].filter(Boolean).join(' | ')))).filter(
        (hit) => hit.group.kind !== 'place',
      );
  const [first] = spoken;
  if (!first) return [];
  const covered = new Set(named.flatMap((hit) => hit.words.map((_, i) => hit.at + i)));
  const tags = tagsOf([...words.filter((_, at) => !covered.has(at)), ...(also.colour ? [plainText(also.colour)] : [])]);
  const country = countryOf(hits, also);
  const found = spoken.map((hit) => ({
    hit,
    style:
      hit.group.kind === 'grape'
        ? styleOfGrape(hit.group, tags, country)
        : styleOfGroup(withGrape(hit.group, spoken), tags),
  }));
  const best = found[0]?.style;
  if (!best) return fallback(found, first);
  const agreed = found.every(({ style }) => style === best);
  const sure =
    named.length > 0 &&
    !first.typo &&
    first.group.kind !== 'grape' &&
    agreed &&
    (!country || !first.group.country || country === first.group.country);
  const others = [
    ...new Set([...found.slice(1).flatMap(({ style }) => style ?? []), ...Object.values(first.group.styles ?? {})]),
  ].filter((style) => style !== best && style !== '-');
  return [
    { style: best, certainty: sure ? 'certain' : 'likely' },
    ...others.map((style) => ({ style, certainty: /** @type {const} */ ('unsure') })),
  ];
}

/**
 * Select the colour of an appellation of several colours by the grape in the name.
 * @param {Group} group
 * @param {Hit[]} spoken
 * @returns {Group}
 */
function withGrape(group, spoken) {
  const colours = [...new Set(spoken.filter((hit) => hit.group.kind === 'grape').map((hit) => hit.group.colour))];
  return colours.length === 1 && colours[0] && group.styles?.[colours[0]] ? { ...group, default: colours[0] } : group;
}

/**
 * Return the style on which the other names agree if the appellation alone decides none.
 * @param {{ hit: Hit, style: string | null }[]} found
 * @param {Hit} first
 * @returns {Candidate[]}
 */
function fallback(found, first) {
  const open = Object.keys(first.group.styles ?? {}).length === 0 && first.group.kind === 'appellation';
  const [other, ...more] = new Set(found.slice(1).map(({ style }) => style));
  if (open && other && more.length === 0) return [{ style: other, certainty: 'likely' }];
  return [...new Set(Object.values(first.group.styles ?? {}))]
    .filter((style) => style !== '-')
    .map((style) => ({ style, certainty: /** @type {const} */ ('unsure') }));
}
