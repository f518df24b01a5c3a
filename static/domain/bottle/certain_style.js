// The style that a typed name tells for certain. It follows the name until somebody chooses a style.
import { certainStyle, stylesFor } from '../../rules/label/style_from_name.js';

/** @typedef {string | null | undefined} Name */

/**
 * Return the style to fill in once a name was typed; null to clear what the former name filled in.
 * @param {Record<string, any>} bottle
 * @param {Name} before the name that was shown
 * @param {Name} name the typed one
 * @returns {string | null | undefined} undefined: the style stays
 */
export function followedStyle({ style, colour }, before, name) {
  const was = told(before);
  const now = told(name);
  // A colour without a style is a choice too: a wine of no special style.
  const isChosen = (style ?? null) !== was || (colour && !style);
  return isChosen || now === was ? undefined : now;
}

/** @param {Name} name */
function told(name) {
  return name ? certainStyle(stylesFor(name)) : null;
}
