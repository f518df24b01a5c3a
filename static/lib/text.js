export { plainText as normalizeForSearch } from './plain_text.js';
