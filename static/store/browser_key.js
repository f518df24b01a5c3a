/**
 * The browser key: created once, stored in localStorage, sent with every API request. The server
 * binds each sign-in to it, because cookies are shared by all ports of a host and localStorage is
 * not.
 */
import { hex } from '../lib/hex.js';

/** Its name in localStorage. */
export const BROWSER_KEY = 'secondnose.key';
/** Fallback without localStorage: the sign-in lasts as long as the page. */
let memoryKey = '';

/** @returns {Record<string, string>} the header with the key */
export function keyHeader() {
  return { 'Second-Nose-Key': browserKey() };
}

/** @returns {string} read each time, because another tab may have created it */
function browserKey() {
  try {
    const stored = localStorage.getItem(BROWSER_KEY);
    if (stored) return stored;
    localStorage.setItem(BROWSER_KEY, (memoryKey ||= newKey()));
    return localStorage.getItem(BROWSER_KEY) ?? memoryKey;
  } catch {
    return (memoryKey ||= newKey());
  }
}

/** @returns {string} 256 random bits */
function newKey() {
  return hex(crypto.getRandomValues(new Uint8Array(32)));
}
