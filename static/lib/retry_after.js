// Reads for how long the server asks to wait.

/**
 * @param {Response | null} response
 * @param {number} [max_s]
 * @returns {number} whole seconds, 0 if it names no time
 */
export function retryAfter(response, max_s = Infinity) {
  return Math.ceil(retryAfterMs(response, max_s * 1_000) / 1_000);
}

/**
 * @param {Response | null} response
 * @param {number} max_ms
 * @returns {number} ms, 0 if it names no time; Retry-After has seconds or, of some proxies, a date
 */
export function retryAfterMs(response, max_ms) {
  const header = response?.headers.get('Retry-After') ?? '';
  const wait_ms = /^[0-9]+$/.test(header) ? Number(header) * 1_000 : Date.parse(header) - Date.now();
  return wait_ms > 0 ? Math.min(wait_ms, max_ms) : 0;
}
