// Normalizes text for every comparison of names: search, pickers, style suggestions.

/** Letters that have no decomposition. */
const SAME = new Map(Object.entries({ ß: 'ss', æ: 'ae', œ: 'oe', ø: 'o', ł: 'l', đ: 'd', ı: 'i', ð: 'd', þ: 'th' }));

/**
 * Normalize case, accents, ligatures, apostrophes, hyphens and spaces.
 * @param {string} text
 * @returns {string}
 */
export function plainText(text) {
  return text
    .replace(/[\u2018\u2019\u02bc`\u00b4]/g, "'")
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[ßæœøłđıðþ]/g, (letter) => SAME.get(letter) ?? letter)
    .replace(/[\u2010-\u2014]/g, '-')
    .replace(/\s+/g, ' ');
}

/**
 * Tell whether two texts differ by one letter: inserted, deleted, replaced, or two exchanged.
 * @param {string} a
 * @param {string} b
 */
export function withinOneTypo(a, b) {
  if (Math.abs(a.length - b.length) > 1) return false;
  let start = 0;
  while (start < a.length && a[start] === b[start]) start += 1;
  const [restA, restB] = [a.slice(start), b.slice(start)];
  if (restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1)) return true;
  return restA.length > 1 && restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
}
