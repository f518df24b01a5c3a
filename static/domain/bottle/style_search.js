// Search for styles by name, grape, region, colour or alias; likely ones first.
import { inEnglish, t } from '../../i18n.js';
import { plainText } from '../../lib/plain_text.js';
import { countryName } from '../country_names.js';
import { aliases, countriesOf, grapesOf, originOf, regionsOf, styleName, stylesById } from '../style_names.js';

/** @typedef {import('../style_names.js').Style} Style */

const LIKELY = 8;
const LETTERS = 4;
/** On the scale of sweetness from 0 to 10. */
const DRY_BELOW = 1.5;

/** @typedef {import('../../components/form/search_select.js').Item} Item */

/** @type {Item[] | null} */
let made = null;

/** Return the search items, built once: a change of language reloads the page. @returns {Item[]} */
export function styleItems() {
  if (made) return made;
  const items = makeItems();
  // Until the English names are there, the search finds styles by the others.
  if (inEnglish('app.menu')) made = items;
  return items;
}

/** @returns {Item[]} */
function makeItems() {
  return [...stylesById.values()].map((style) => ({
    id: style.style_id,
    label: styleName(style.style_id),
    note: [grapesOf(style).slice(0, 3).join(', '), originOf(style)].filter(Boolean).join(' \u00b7 '),
    find: searchText([
      ...aliases(style),
      ...regionsOf(style),
      ...countriesOf(style).flatMap((code) => [countryName(code), countryName(code, 'en')]),
      t(`colour.${style.colour}`),
      t(`bottle_kind.${style.kind}`),
      ...(style.sweetness < DRY_BELOW ? [t('pour.dryness_dry')] : []),
    ]),
  }));
}

/**
 * Join the texts with their parts, so that "d'asti" is found by "d'a" and by "a".
 * @param {string[]} texts
 */
function searchText(texts) {
  const text = plainText(texts.join(' '));
  return `${text} ${text.replace(/[(),'-]/g, ' ')}`;
}

/**
 * @param {string | null | undefined} name as typed on the bottle
 * @param {string[]} recent style ids, newest first
 */
export function suggestStyles(name, recent) {
  const typed = plainText(name ?? '')
    .split(/[^\p{L}]+/u)
    .filter((word) => word.length >= LETTERS);
  const named = typed.length
    ? [...stylesById.values()]
        .map((style) => {
          const find = searchText(aliases(style));
          return { id: style.style_id, hits: typed.filter((word) => ` ${find}`.includes(` ${word}`)).length };
        })
        .filter((style) => style.hits)
        .sort((a, b) => b.hits - a.hits)
        .map((style) => style.id)
    : [];
  return [...new Set([...named, ...recent])].slice(0, LIKELY);
}
