// Reads for how long the server asks to wait.

/**
 * @param {Response | null} response
 * @param {number} [max_s]
 * @returns {number} seconds, 0 if it names no time; Retry-After has seconds or, of some proxies, a date
 */
export function retryAfter(response, max_s = Infinity) {
  const header = response?.headers.get('Retry-After') ?? '';
  const wait_s = /^[0-9]+$/.test(header) ? Number(header) : Math.ceil((Date.parse(header) - Date.now()) / 1_000);
  return wait_s > 0 ? Math.min(wait_s, max_s) : 0;
}
