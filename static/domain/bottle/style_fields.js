// The fields that a style sets on a bottle.
import { styleOf } from '../style_names.js';
import { plainFields, plainOf } from './plain_styles.js';

/**
 * Return the style, with its colour and kind unless the bottle has others than its style so far.
 * @param {Record<string, any>} bottle
 * @param {string | null} id of the new style, or of a plain choice
 * @returns {Record<string, any>}
 */
export function styleFields(bottle, id) {
  const plain = plainFields(id);
  if (plain) return { style: null, ...plain };
  const was = styleOf(bottle['style']) ?? plainFields(plainOf(bottle));
  const now = styleOf(id);
  const follows = (/** @type {'colour' | 'kind'} */ field) =>
    (bottle[field] ?? was?.[field] ?? null) === (was?.[field] ?? null);
  return {
    style: id,
    ...(follows('colour') ? { colour: now?.colour ?? null } : {}),
    ...(follows('kind') ? { kind: now?.kind ?? null } : {}),
  };
}
