import evidence from '../../spec/evidence.json' with { type: 'json' };
import hues from '../../spec/hues.json' with { type: 'json' };
import { aromaFamily, notedAromas } from './nose.js';
import { number } from '../stats/numbers.js';

const RULES = evidence.age;

/**
 * @typedef {Record<string, unknown>} Fields fields of a tasting or a bottle
 * @typedef {{ ageing_hues: string[], aroma_families: string[], style_id?: string }} AgeingStyle
 * @typedef {Record<string, Record<string, Record<string, number[]>>>} OwnCues bottles in each
 *   band, by colour, cue and value
 */

/** @type {Record<string, Record<string, Record<string, number[]>>>} */
const TABLES = RULES.signs;
/** @type {{ kind?: string, colour?: string, styles?: string[], signs: string[] }[]} */
const IGNORED_RULES = RULES.says_nothing;
/** @type {[string, string][]} */
const FIELDS = [
  ['hue', 'look_hue'],
  ['rim', 'look_rim'],
  ['gradation', 'look_gradation'],
  ['fruit_state', 'fruit_state'],
];

/**
 * Return the bottle's colour, else that of the observed hue, because the label may be hidden.
 * @param {Fields} tasting
 * @param {Fields} bottle
 * @returns {string | null}
 */
export function wineColour(tasting, bottle) {
  if (typeof bottle.colour === 'string') return bottle.colour;
  return hues.hues.find((each) => each.id === tasting.look_hue)?.colour ?? null;
}

/**
 * List the cues in a tasting: hue, rim, gradation, fruit_state, aged_words.
 * @param {Fields} tasting
 * @param {string | null} colour
 * @param {AgeingStyle | null} style
 * @returns {[string, string][]}
 */
export function informativeCues(tasting, colour, style) {
  /** @type {[string, string][]} */
  const found = [];
  for (const [sign, field] of FIELDS) {
    const value = tasting[field];
    if (typeof value === 'string') found.push([sign, value]);
  }
  const aged = agedAromas(tasting, style);
  if (aged !== null && colour !== null) found.push(['aged_words', aged]);
  return found;
}

/**
 * Return the cues that show the winemaking and not the age, for this kind, colour or style.
 * @param {unknown} kind
 * @param {string | null} colour
 * @param {AgeingStyle | null} style
 * @returns {Set<string>}
 */
export function ignoredCues(kind, colour, style) {
  const matching = IGNORED_RULES.filter(
    (rule) =>
      (rule.kind ?? kind) === kind &&
      (rule.colour ?? colour) === colour &&
      (!rule.styles || rule.styles.includes(style?.style_id ?? '')),
  );
  return new Set(matching.flatMap((rule) => rule.signs));
}

/**
 * Return the likelihood of a cue's value in each age band; null if the tables do not have it.
 * @param {string} sign
 * @param {string} value
 * @param {string | null} colour
 * @param {AgeingStyle | null} style
 * @param {OwnCues | null} own
 * @returns {number[] | null}
 */
export function likelihoods(sign, value, colour, style, own) {
  const tables = TABLES[sign] ?? {};
  const table = (colour !== null && Object.hasOwn(tables, colour) ? tables[colour] : tables.other) ?? {};
  const listed = Object.hasOwn(table, value) ? table[value] : undefined;
  if (listed === undefined) return null;
  const usual = sign === 'hue' ? onTrack(listed, value, style) : listed;
  const counts = own?.[colour ?? '']?.[sign];
  return counts ? withOwn(usual, value, counts) : usual;
}

/**
 * Count cues by age band over tastings of bottles with known vintage. A pair without vintage, date
 * or colour is skipped.
 * @param {{ tasting: Fields, bottle: Fields }[]} confirmed
 * @returns {OwnCues}
 */
export function learnCues(confirmed) {
  const edges = RULES.edges_years;
  /** @type {OwnCues} */
  const own = {};
  for (const { tasting, bottle } of confirmed) {
    const colour = wineColour(tasting, bottle);
    const age = ageYears(tasting, bottle);
    if (colour === null || age === null) continue;
    const band = Math.min(edges.filter((edge) => edge <= age).length - 1, edges.length - 2);
    for (const [sign, value] of informativeCues(tasting, colour, null)) {
      const values = ((own[colour] ??= {})[sign] ??= {});
      const counts = (values[value] ??= edges.slice(1).map(() => 0));
      counts[band] = (counts[band] ?? 0) + 1;
    }
  }
  return own;
}

/**
 * @param {Fields} tasting
 * @param {Fields} bottle
 */
function ageYears(tasting, bottle) {
  const vintage = number(bottle.vintage, 'vintage');
  const when = tasting.tasted_at;
  if (vintage === null || typeof when !== 'string' || !/^\d{4}/.test(when)) return null;
  return Math.max(0, Number(when.slice(0, 4)) - vintage);
}

/**
 * Combine with the style's own course of ageing by the geometric mean: garnet comes early in a
 * nebbiolo.
 * @param {number[]} usual
 * @param {string} hue
 * @param {AgeingStyle | null} style
 */
function onTrack(usual, hue, style) {
  const track = style?.ageing_hues ?? [];
  const place = track.indexOf(hue);
  if (track.length < 2 || place < 0) return usual;
  const factors = RULES.track[place === 0 ? 'first' : place === track.length - 1 ? 'last' : 'middle'];
  return usual.map((each, band) => Math.sqrt(each * (factors[band] ?? 1)));
}

/**
 * Combine the table, as a number of bottles in each band, with the user's own counts.
 * @param {number[]} usual
 * @param {string} value
 * @param {Record<string, number[]>} counts
 */
function withOwn(usual, value, counts) {
  return usual.map((each, band) => {
    const seen = Object.values(counts).reduce((sum, bottles) => sum + (bottles[band] ?? 0), 0);
    const observed = Object.hasOwn(counts, value) ? (counts[value]?.[band] ?? 0) : 0;
    return (RULES.own_weight * each + observed) / (RULES.own_weight + seen);
  });
}

/**
 * Count the aroma families of age in the nose, without those typical of the style.
 * @param {Fields} tasting
 * @param {AgeingStyle | null} style
 */
function agedAromas(tasting, style) {
  const aromas = [...notedAromas(tasting).keys()];
  if (aromas.length === 0) return null;
  const usual = style?.aroma_families ?? [];
  const families = new Set(aromas.map(aromaFamily));
  const count = RULES.aged_families.filter((family) => !usual.includes(family) && families.has(family)).length;
  return count === 0 ? 'none' : count === 1 ? 'one' : 'several';
}
