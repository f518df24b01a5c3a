// A signal whose value outlasts a reload of its tab.
import { effect, signal } from '../../lib/ui.js';

/**
 * @template T
 * @param {string} key in sessionStorage
 * @param {T} none the value that is not kept
 */
export function sessionSignal(key, none) {
  const kept = signal(read(key, none));
  effect(() => {
    const { value } = kept;
    try {
      if (value === none) sessionStorage.removeItem(key);
      else sessionStorage.setItem(key, JSON.stringify(value));
    } catch {
      // Without sessionStorage the value is lost by a reload only.
    }
  });
  return kept;
}

/**
 * @template T
 * @param {string} key
 * @param {T} none
 * @returns {T}
 */
function read(key, none) {
  try {
    return JSON.parse(sessionStorage.getItem(key) ?? 'null') ?? none;
  } catch {
    return none;
  }
}
