// Styles by id, with their names and places in the chosen language.
import file from '../spec/styles.json' with { type: 'json' };
import { inEnglish, isEnglish, t } from '../i18n.js';
import { countryName } from './country_names.js';

/**
 * Fields that screens do not use; .ci/pack_plugins.mjs leaves them out of the bundle.
 * @typedef {`legal_${string}` | `abv_${string}` | `${string}_sd` | 'intensity' | 'acidity' | 'tannin' | 'body' |
 *   'group' | 'world' | 'note' | 'ageing_colour' | 'core_set' | 'countries'} ServerOnlyKey
 */
/** @typedef {(typeof file.styles)[number]} Row */
/** @typedef {{ [field in keyof Row as Exclude<field, ServerOnlyKey>]: Row[field] }} Style */

/** @type {Map<string, Style>} */
export const stylesById = new Map(file.styles.map((style) => [style.style_id, style]));

const alsoCalled = /** @type {Record<string, string[]>} */ (file.grapes_also_called);

/** @param {string | null | undefined} id */
export function styleOf(id) {
  return id ? (stylesById.get(id) ?? null) : null;
}

/**
 * @param {string | null | undefined} id
 * @returns {string} empty without a style
 */
export function styleName(id) {
  return styleOf(id) ? t(`style.${id}`) : '';
}

/**
 * Name the grapes of a style. English writes each of their words with a capital: "Pinot Noir", "Melon de Bourgogne".
 * @param {{ grapes: string[] } | null} style
 */
export function grapesOf(style) {
  const { grapes } = style ?? { grapes: [] };
  if (!isEnglish()) return grapes;
  return grapes.map((name) => name.replace(/ (?!de |of |à |d['’])\p{Ll}/gu, (start) => start.toUpperCase()));
}

/** @param {string} place such as "FR.loire", or "NZ" for a whole country */
function countryOf(place) {
  return place.match(/^[A-Z]{2}/)?.[0] ?? '';
}

/** Name a region without its country, or a whole country. @param {string | undefined} place */
export function placeName(place) {
  if (!place) return '';
  return place === countryOf(place) ? countryName(place) : t(`region.${place}`);
}

/** Name the first place of a style with its country. @param {Style} style */
export function originOf(style) {
  const region = style.regions[0] ?? '';
  return [...new Set([placeName(region), countryName(countryOf(region))])].filter(Boolean).join(', ');
}

/**
 * Name the places of a style without country, in the chosen language and in English.
 * @param {Style} style
 * @returns {string[]}
 */
export function regionsOf(style) {
  return style.regions.flatMap((place) =>
    place === countryOf(place)
      ? [countryName(place), countryName(place, 'en')]
      : [t(`region.${place}`), inEnglish(`region.${place}`)],
  );
}

/**
 * Return the names of a style, of its grapes and its aliases, in the chosen language and in
 * English.
 * @param {Style} style
 * @returns {string[]}
 */
export function aliases(style) {
  const key = `style.${style.style_id}`;
  return [
    t(key),
    inEnglish(key),
    ...style.nicknames,
    ...style.grapes.flatMap((grape) => [grape, ...(alsoCalled[grape] ?? [])]),
  ];
}

/** @param {Pick<Style, 'regions'>} style @returns {string[]} codes, by its regions */
export function countriesOf({ regions }) {
  return [...new Set(regions.map(countryOf))].filter(Boolean);
}

/**
 * Name the grapes of a bottle: those of its label, otherwise those of its style.
 * @param {import('../store/record.js').Fields} bottle
 * @returns {string}
 */
export function grapesText(bottle) {
  return bottle['grapes'] ?? grapesOf(styleOf(bottle['style'])).join(', ');
}
