/**
 * The key of this browser: made once, kept in the page's storage, and sent with every request of the API. A server
 * holds each sign-in to the key that it was made with, because cookies go to every port of a host and storage does not.
 */
/** Where localStorage has it. */
export const BROWSER_KEY = 'secondnose.key';
/** Where the browser keeps nothing, the sign-in lasts as long as the page. */
let held = '';

/** @returns {Record<string, string>} the header that carries the key */
export function keyHeader() {
  return { 'Second-Nose-Key': browserKey() };
}

/** @returns {string} read anew each time, as another tab may have made it meanwhile */
function browserKey() {
  try {
    const kept = localStorage.getItem(BROWSER_KEY);
    if (kept) return kept;
    localStorage.setItem(BROWSER_KEY, (held ||= fresh()));
    return localStorage.getItem(BROWSER_KEY) ?? held;
  } catch {
    return (held ||= fresh());
  }
}

/** @returns {string} 256 random bits */
function fresh() {
  return Array.from(crypto.getRandomValues(new Uint8Array(32)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
