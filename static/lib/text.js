export { plainText as folded } from './plain_text.js';
