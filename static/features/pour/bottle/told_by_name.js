// What the name of the wine tells: its style, filled in if certain and else offered, and its year. Loaded when there is
// a name.
import { currentPour, setFields, values } from '../../../domain/pour/current_pour.js';
import { followedStyle } from '../../../domain/bottle/certain_style.js';
import { styleFields } from '../../../domain/bottle/style_fields.js';

export { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';
export { moveYear, moveYearAndSay } from './name_year.js';

/**
 * Fill in the style after a name was typed on this phone.
 * @param {string | undefined} bottle of the pour when it was typed
 * @param {string | null | undefined} before the name that was shown
 * @param {string | null} name
 */
export function followName(bottle, before, name) {
  const fields = values.bottle.peek();
  if (currentPour.peek()?.bottle !== bottle) return;
  const style = followedStyle(fields, before, name);
  if (style !== undefined) setFields('bottle', styleFields(fields, style));
}
