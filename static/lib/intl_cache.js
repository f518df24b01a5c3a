// Caches Intl formatters, because creating one costs far more than using it, and a list uses it for
// each row.

/** @type {Map<string, Intl.NumberFormat>} */
const numberFormats = new Map();

/** @type {Map<string, Intl.DateTimeFormat>} */
const dateFormats = new Map();

/** @param {string} locale @param {Intl.NumberFormatOptions} [options] */
export function numberFormat(locale, options = {}) {
  return memoize(numberFormats, `${locale} ${JSON.stringify(options)}`, () => new Intl.NumberFormat(locale, options));
}

/** @param {string} locale @param {Intl.DateTimeFormatOptions} options */
export function dateFormat(locale, options) {
  return memoize(dateFormats, `${locale} ${JSON.stringify(options)}`, () => new Intl.DateTimeFormat(locale, options));
}

/**
 * @template T
 * @param {Map<string, T>} cache
 * @param {string} key
 * @param {() => T} make
 * @returns {T}
 */
function memoize(cache, key, make) {
  const cached = cache.get(key) ?? make();
  cache.set(key, cached);
  return cached;
}
