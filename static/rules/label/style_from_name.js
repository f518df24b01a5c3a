// Finds the style in a wine's name: appellation or grape, then words for colour and sweetness.
// Gives none if unsure.
import { plainText } from '../../lib/plain_text.js';
import { tagsOf } from './label_tags.js';
import { hitsIn, ranked, tokenize } from './named_hits.js';

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
  for (const tag of ['sparkling', 'sweet', 'demisec', 'dry', 'reserva', 'crianza', 'joven'])
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
  if (tags.has('auslese') && !tags.has('dry')) return here(group.auslese);
  if (!style) return null;
  if (style.startsWith('wht_riesling') && place.country === 'DE') {
    if (tags.has('dry')) return style;
    if (tags.has('spatlese')) return 'wht_riesling_spatlese';
    if (tags.has('kabinett')) return 'wht_riesling_kabinett';
  }
  if (tags.has('unoaked')) return here(group.unoaked) ?? style;
  return DECISIVE.some((tag) => tags.has(tag) && !(tag === 'auslese' && tags.has('dry'))) ? null : style;
}

/** @typedef {{ country: string | null, area: string | null }} Place */

/**
 * Return the country, and the area within it, on which the name and the region agree.
 * @param {Hit[]} hits
 * @param {Also} also
 * @returns {Place}
 */
function placeOf(hits, also) {
  const region = also.region ? hitsIn(tokenize(also.region)) : [];
  const said = [...hits, ...region].filter((hit) => hit.group.kind !== 'grape' && !hit.typo);
  const only = (/** @type {(string | undefined)[]} */ values) => {
    const all = new Set(values.filter(Boolean));
    return all.size === 1 ? ([...all][0] ?? null) : null;
  };
  return {
    country: also.country ?? only(said.map((hit) => hit.group.country)),
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
 * Suggest styles for a wine's name; the name takes precedence over the region.
 * @param {string} name
 * @param {Also} [also]
 * @returns {Candidate[]} best first
 */
export function stylesFor(name, also = {}) {
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
  const place = placeOf(hits, also);
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
  if (!best) return undecided(fallback(found, first), tags, place);
  const agreed = found.every(({ style }) => style === best);
  const sure =
    named.length > 0 &&
    !first.typo &&
    first.group.kind !== 'grape' &&
    !first.group.likely &&
    agreed &&
    (!place.country || !first.group.country || place.country === first.group.country);
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
  return hits.filter(({ group }) => group.kind === 'grape' || !group.country || countries.has(group.country));
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
 * @returns {Candidate[]}
 */
function fallback(found, first) {
  const { kind, styles = {} } = first.group;
  const others = found.slice(1);
  const [other, ...more] = new Set(others.map(({ style }) => style));
  // A colour of which the appellation says nothing; one that it answers with "-" fits no style.
  const isOpen = others.every(({ hit: { group } }) =>
    group.colour ? !styles[group.colour] : Object.keys(styles).length === 0,
  );
  if (kind === 'appellation' && isOpen && other && more.length === 0) return [{ style: other, certainty: 'likely' }];
  return unsure([...others.flatMap(({ style }) => style ?? []), ...stylesIn(first.group)]);
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
  const sparkles = tags.has('sparkling');
  const sparkling = [...(SPARKLING[place.country ?? ''] ?? ['spk_english']), ...(isRose ? ['spk_champagne_rose'] : [])];
  const wanted = sparkles ? sparkling : isRose ? ROSES : [];
  const known = candidates.map(({ style }) => style);
  const fits = (/** @type {string} */ style) => style.startsWith(sparkles ? 'spk_' : 'ros_');
  const first = wanted.length ? [...known.filter(fits), ...wanted, ...known] : known;
  return unsure(first);
}
