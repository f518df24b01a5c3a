// Finds the style in a wine's name: appellation or grape, then words for colour and sweetness.
// Gives none if unsure.
import { plainText } from '../../lib/plain_text.js';
import { tagsOf } from './label_tags.js';
import { hitsIn, ranked, tokenize } from './named_hits.js';
import { isNotWine } from './not_wine.js';

/** @typedef {'certain' | 'likely' | 'unsure'} Certainty */
/** @typedef {{ style: string, certainty: Certainty }} Candidate */
/** @typedef {import('./named_hits.js').Group} Group */
/** @typedef {import('./named_hits.js').Hit} Hit */
/**
 * @typedef {{ region?: string | null, country?: string | null, colour?: string | null, grapes?: string | null }}
 *   Also
 */

const COLOURS = ['red', 'white', 'rose'];
/** What a rosé or a sparkling wine may be of which no name decides, by country; the first is the commonest. */
const ROSES = ['ros_provence', 'ros_tavel', 'ros_blush'];
const SPARKLING = /** @type {Record<string, string[]>} */ ({
  FR: ['spk_cremant', 'spk_petnat'],
  IT: ['spk_franciacorta', 'spk_prosecco'],
  ES: ['spk_cava'],
  DE: ['spk_sekt_riesling'],
  AT: ['spk_sekt_riesling'],
  PT: ['spk_cremant'],
  ZA: ['spk_cap_classique'],
  '': ['spk_cremant', 'spk_cava', 'spk_prosecco'],
});
/** Words that the style must match; otherwise no style is suggested. */
const DECISIVE = ['rose', 'sparkling', 'sweet', 'demisec', 'auslese', 'fortified', 'orange'];

/** @param {Group} group @param {Set<string>} tags @returns {string | null} */
function styleOfGroup(group, tags) {
  const styles = group.styles ?? {};
  const colours = COLOURS.filter((colour) => tags.has(colour));
  if (colours.length > 1) return null;
  for (const tag of ['brut', 'sparkling', 'sweet', 'demisec', 'dry', 'reserva', 'crianza', 'joven'])
    if (tags.has(tag) && styles[tag] && !colours.length) return styles[tag] === '-' ? null : (styles[tag] ?? null);
  const style =
    styles[colours[0] ?? group.default ?? (Object.keys(styles).length === 1 ? (Object.keys(styles)[0] ?? '') : '')] ??
    null;
  if (!style || style === '-') return null;
  const sparkles = style.startsWith('spk_');
  const sweet = style.startsWith('swt_') || style.startsWith('frt_');
  const against = DECISIVE.filter(
    (tag) =>
      tags.has(tag) &&
      !(tag === 'rose' && colours[0] === 'rose') &&
      !(tag === 'sparkling' && sparkles) &&
      !(tag === 'orange' && style.startsWith('org_')) &&
      !(['sweet', 'fortified', 'auslese'].includes(tag) && sweet),
  );
  return against.length ? null : style;
}

/** @param {Group} group @param {Set<string>} tags @param {Place} place @returns {string | null} */
function styleOfGrape(group, tags, place) {
  const colour = COLOURS.find((colour) => tags.has(colour));
  if (colour && colour !== group.colour) return null;
  const here = (/** @type {Record<string, string> | undefined} */ by) => {
    const style = by?.[place.area ?? ''] ?? by?.[place.country ?? ''] ?? by?.['*'];
    return style && style !== '-' ? style : null;
  };
  const style = here(group.by);
  if (tags.has('sparkling')) return style?.startsWith('spk_') ? style : null;
  if (tags.has('sweet')) return here(group.sweet);
  if (place.country === 'DE' && style) {
    const [term] = termed(group, tags);
    if (term) return term;
  }
  if (!style) return null;
  if (tags.has('unoaked')) return here(group.unoaked) ?? style;
  return DECISIVE.some((tag) => tags.has(tag) && !(tag === 'auslese' && tags.has('dry'))) ? null : style;
}

/**
 * Return the styles of the terms beside a grape, for whichever country.
 * @param {Group} group @param {Set<string>} tags @returns {string[]}
 */
function termed({ terms = {}, sweet = {} }, tags) {
  const named = ['auslese', 'spatlese', 'kabinett'].flatMap((tag) => (tags.has(tag) ? (terms[tag] ?? []) : []));
  return [...(tags.has('dry') ? [] : named), ...(tags.has('sweet') ? Object.values(sweet) : [])];
}

/** @typedef {{ country: string | null, area: string | null }} Place */

/**
 * Return the country, and the area within it, on which the name and the region agree.
 * @param {Hit[]} hits
 * @param {Also} also
 * @param {Set<string>} tags
 * @returns {Place}
 */
function placeOf(hits, also, tags) {
  const region = also.region ? hitsIn(tokenize(also.region)) : [];
  const said = [...hits, ...region].filter((hit) => hit.group.kind !== 'grape' && !hit.typo);
  const only = (/** @type {(string | undefined)[]} */ values) => {
    const all = new Set(values.filter(Boolean));
    return all.size === 1 ? ([...all][0] ?? null) : null;
  };
  return {
    country: also.country ?? only(said.map((hit) => hit.group.country)) ?? (tags.has('french') ? 'FR' : null),
    area: only(said.map((hit) => hit.group.area)),
  };
}

/**
 * Return the style that may be filled in without asking: no style is better than a wrong one.
 * @param {Candidate[]} candidates best first
 * @returns {string | null}
 */
export function certainStyle([first]) {
  return first && first.certainty !== 'unsure' ? first.style : null;
}

/**
 * Return the colour that a name has beside its appellations and grapes; null without one, or with several.
 * @param {string} name
 * @returns {string | null}
 */
export function colourInName(name) {
  const words = tokenize(name);
  const named = new Set(hitsIn(words).flatMap((hit) => hit.places));
  const tags = tagsOf(words.filter((_, at) => !named.has(at)));
  const [colour = null, ...more] = COLOURS.filter((each) => tags.has(each));
  return more.length ? null : colour;
}

/**
 * Suggest styles for a wine's name; the name takes precedence over the region.
 * @param {string} name
 * @param {Also} [also]
 * @returns {Candidate[]} best first
 */
export function stylesFor(name, also = {}) {
  if (isNotWine(name)) return [];
  const words = tokenize(name);
  const hits = withoutForeign(ranked(hitsIn(words)));
  const named = hits.filter((hit) => hit.group.kind !== 'place');
  const matched = named.length
    ? named
    : ranked(hitsIn(tokenize([also.grapes, also.region].filter(Boolean).join(' | ')))).filter(
        (hit) => hit.group.kind !== 'place',
      );
  const covered = new Set(named.flatMap((hit) => hit.places));
  const tags = tagsOf([...words.filter((_, at) => !covered.has(at)), ...(also.colour ? [plainText(also.colour)] : [])]);
  const place = placeOf(hits, also, tags);
  const found = matched.map((hit) => ({
    hit,
    style:
      hit.group.kind === 'grape'
        ? styleOfGrape(hit.group, tags, place)
        : styleOfGroup(withGrape(hit.group, matched), tags),
  }));
  const [first] = matched;
  if (!first) return undecided(unsure(hits.flatMap((hit) => hit.group.may ?? [])), tags, place);
  const best = found[0]?.style;
  if (!best || isForeign(first, hits, also)) return undecided(fallback(found, first, tags), tags, place);
  const agreed = found.every(({ style }) => style === best);
  const sure = named.length > 0 && !first.typo && first.group.kind !== 'grape' && !first.group.likely && agreed;
  const others = [...new Set([...found.slice(1).flatMap(({ style }) => style ?? []), ...stylesIn(first.group)])].filter(
    (style) => style !== best,
  );
  return [{ style: best, certainty: sure ? 'certain' : 'likely' }, ...unsure(others)];
}

/**
 * Drop appellations of another country than the grape's place, because they are then part of a
 * producer's name: "Casa Toro Malbec Mendoza".
 * @param {Hit[]} hits
 * @returns {Hit[]}
 */
function withoutForeign(hits) {
  const countries = new Set(hits.filter((hit) => hit.group.kind === 'place').map((hit) => hit.group.country));
  if (countries.size !== 1 || !hits.some((hit) => hit.group.kind === 'grape')) return hits;
  return hits.filter(({ group }) => group.kind === 'grape' || [...countries].every((one) => isOf(group, one)));
}

/** Tell whether the group's names are those of the country. @param {Group} group @param {string | undefined} other */
function isOf({ country, shared = [] }, other) {
  return !country || country === other || shared.includes(other ?? '');
}

/**
 * Tell whether the wine comes from another country than its appellation: "California Chablis" is none.
 * @param {Hit} first @param {Hit[]} hits @param {Also} also
 */
function isForeign({ group }, hits, { country: said }) {
  const places = hits.flatMap(({ group, typo }) => (group.kind === 'place' && !typo ? (group.country ?? []) : []));
  return group.kind !== 'grape' && [said, ...places].some((other) => other && !isOf(group, other));
}

/**
 * Select the colour of an appellation of several colours by the grape in the name.
 * @param {Group} group
 * @param {Hit[]} matched
 * @returns {Group}
 */
function withGrape(group, matched) {
  const colours = [...new Set(matched.filter((hit) => hit.group.kind === 'grape').map((hit) => hit.group.colour))];
  return colours.length === 1 && colours[0] && group.styles?.[colours[0]] ? { ...group, default: colours[0] } : group;
}

/** @param {Group} group every style that it names, each once */
function stylesIn({ may, styles, by, unoaked }) {
  const all = [
    ...(may ?? []),
    ...Object.values(styles ?? {}),
    ...Object.values(by ?? {}),
    ...Object.values(unoaked ?? {}),
  ];
  return [...new Set(all)].filter((style) => style !== '-');
}

/** @param {string[]} styles @returns {Candidate[]} */
function unsure(styles) {
  return [...new Set(styles)].map((style) => ({ style, certainty: 'unsure' }));
}

/**
 * Return the style on which the other names agree if the appellation alone decides none.
 * @param {{ hit: Hit, style: string | null }[]} found
 * @param {Hit} first
 * @param {Set<string>} tags
 * @returns {Candidate[]}
 */
function fallback(found, first, tags) {
  const { kind, styles = {} } = first.group;
  const others = found.slice(1);
  const [other, ...more] = new Set(others.map(({ style }) => style));
  // A colour of which the appellation says nothing; one that it answers with "-" fits no style.
  const isOpen = others.every(({ hit: { group } }) =>
    group.colour ? !styles[group.colour] : Object.keys(styles).length === 0,
  );
  if (kind === 'appellation' && isOpen && other && more.length === 0) return [{ style: other, certainty: 'likely' }];
  return unsure([
    ...termed(first.group, tags),
    ...others.flatMap(({ style }) => style ?? []),
    ...stylesIn(first.group),
  ]);
}

/**
 * Return the styles to choose from if no name decides: rosés and sparkling wines first, because
 * their names seldom decide.
 * @param {Candidate[]} candidates
 * @param {Set<string>} tags
 * @param {Place} place
 * @returns {Candidate[]}
 */
function undecided(candidates, tags, place) {
  if (candidates.some(({ certainty }) => certainty !== 'unsure')) return candidates;
  const isRose = tags.has('rose');
  const isAllSparkling = candidates.length > 0 && candidates.every(({ style }) => style.startsWith('spk_'));
  const sparkles = tags.has('sparkling') || (isRose && isAllSparkling);
  const sparkling = [...(isRose ? ['spk_champagne_rose'] : []), ...(SPARKLING[place.country ?? ''] ?? ['spk_english'])];
  const wanted = sparkles ? sparkling : isRose ? ROSES : [];
  const known = candidates.map(({ style }) => style);
  const fits = (/** @type {string} */ style) => style.startsWith(sparkles ? 'spk_' : 'ros_');
  const first = wanted.length ? [...known.filter(fits), ...wanted, ...known] : known;
  return unsure(first);
}
