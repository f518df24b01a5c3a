// The words that stand beside the figure of the alcohol, in the languages of the app and of common labels.

const ALCOHOL = 'alc(?:oo?l|ohol)?(?:ic[oai]?|iques?)?|alk(?:ohol(?:gehalt)?)?';
const WORD = `(?:${ALCOHOL}|by vol(?:ume)?|vol|abv|tav|grad(?:i|os|az\\p{L}*)?|degr[eé]s?)(?!\\p{L})\\.?`;

export const ALCOHOL_WORDS = new RegExp(`(?<!\\p{L})${WORD}`, 'giu');
/** Those right before and right after the figure; elsewhere they are words of a name. */
export const WORDS_BEFORE = new RegExp(`(?<!\\p{L})(?:${WORD}[\\s:]*)+$`, 'iu');
export const WORDS_AFTER = new RegExp(`^(?:\\s*${WORD})+`, 'iu');

/** The beginning of a word that no alcohol has beside it. */
export const OTHER_WORD = `(?<!\\p{L})(?!${WORD}|volumen?(?!\\p{L}))\\p{L}`;
