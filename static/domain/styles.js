// Styles by their id.
export { styleName, styleOf as style } from './style_names.js';
