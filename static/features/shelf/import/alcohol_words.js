// The words that stand beside the figure of the alcohol, in the languages of the app and of common labels.

const WORD = '(?:alc|alco\\p{L}*|alk\\p{L}*|(?:by )?vol(?:umen?)?|abv|tav|grad(?:i|os|az\\p{L}*)?)(?!\\p{L})\\.?';

export const ALCOHOL_WORDS = new RegExp(`(?<!\\p{L})${WORD}`, 'giu');

/** The beginning of a word that no alcohol has beside it. */
export const OTHER_WORD = `(?<!\\p{L})(?!${WORD})\\p{L}`;
