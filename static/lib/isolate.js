/** Letters of scripts that are written from right to left (Unicode, blocks Hebrew to Arabic and their forms). */
const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufefc]/;

/**
 * Isolate a name that is written from right to left, because it would turn round the sentence around it (Unicode
 * Standard Annex 9, "Explicit Directional Isolates").
 * @param {string} text
 */
export function isolated(text) {
  return RIGHT_TO_LEFT.test(text) ? `\u2068${text}\u2069` : text;
}
