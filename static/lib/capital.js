// The first letter of a text, by the rules of the language.

/** @param {string} text */
export function capitalized(text) {
  return text.charAt(0).toLocaleUpperCase() + text.slice(1);
}

/** Begin with a small letter, for the middle of a line. @param {string} text */
export function uncapitalized(text) {
  return text.charAt(0).toLocaleLowerCase() + text.slice(1);
}
