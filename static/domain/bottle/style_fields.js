// The fields that a style sets on a bottle.
import { styleOf } from '../style_names.js';

/**
 * Return the style, with its colour and kind unless the bottle has others than its style so far.
 * @param {Record<string, any>} bottle
 * @param {string | null} id of the new style
 * @returns {Record<string, any>}
 */
export function styleFields(bottle, id) {
  const was = styleOf(bottle['style']);
  const now = styleOf(id);
  const follows = (/** @type {'colour' | 'kind'} */ field) =>
    (bottle[field] ?? was?.[field] ?? null) === (was?.[field] ?? null);
  return {
    style: id,
    ...(follows('colour') ? { colour: now?.colour ?? null } : {}),
    ...(follows('kind') ? { kind: now?.kind ?? null } : {}),
  };
}
