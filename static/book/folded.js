export { plainText as folded } from '../trade/plain_text.js';
