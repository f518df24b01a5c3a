// Styles by their id.
import { styleOf } from '../pour/style_finder.js';

/** @param {string | null | undefined} id */
export function style(id) {
  return styleOf(id);
}

/** @param {string | null | undefined} id @returns {string} */
export function styleName(id) {
  return styleOf(id)?.name ?? '';
}
