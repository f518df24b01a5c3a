// Styles as they are looked for: by name, grape, region, colour or nickname, the likely ones first.
import file from '../../spec/styles.json' with { type: 'json' };
import { t } from '../../words.js';
import { fold } from '../../parts/picker.js';

/** @typedef {(typeof file.styles)[number]} Style */

const LIKELY = 8;
const LETTERS = 4;

/** @type {Map<string, Style>} */
export const stylesById = new Map(file.styles.map((style) => [style.style_id, style]));

/** @param {string | null | undefined} id */
export function styleOf(id) {
  return id ? stylesById.get(id) ?? null : null;
}

/** @returns {import('../../parts/picker.js').Item[]} */
export function styleItems() {
  return file.styles.map((style) => ({
    id: style.style_id, label: style.name, note: [style.grapes.slice(0, 3).join(', '), style.regions[0]].filter(Boolean).join(' \u00b7 '),
    find: fold([style.name, ...style.grapes, ...style.regions, ...style.nicknames, t(`colour.${style.colour}`), t(`bottle_kind.${style.kind}`)].join(' ').replace(/[(),-]/g, ' ')),
  }));
}

/**
 * @param {string | null | undefined} name as typed on the bottle
 * @param {string[]} recent style ids, the latest first
 */
export function likelyStyles(name, recent) {
  const typed = fold(name ?? '').split(/[^\p{L}]+/u).filter((word) => word.length >= LETTERS);
  const named = file.styles.map((style) => {
    const find = fold([style.name, ...style.nicknames, ...style.grapes].join(' '));
    return { id: style.style_id, hits: typed.filter((word) => ` ${find}`.includes(` ${word}`)).length };
  }).filter((style) => style.hits).sort((a, b) => b.hits - a.hits).map((style) => style.id);
  return [...new Set([...named, ...recent])].slice(0, LIKELY);
}
