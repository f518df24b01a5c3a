/** Letters that carry no separable accent. */
const PLAIN = new Map(Object.entries({ 'ß': 'ss', 'æ': 'ae', 'œ': 'oe', 'ø': 'o', 'ł': 'l', 'đ': 'd', 'ı': 'i' }));

/**
 * Text as one types it in a hurry: small letters, no accents.
 * @param {string} text
 * @returns {string}
 */
export function folded(text) {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase()
    .replace(/[ßæœøłđı]/g, (letter) => PLAIN.get(letter) ?? letter);
}
