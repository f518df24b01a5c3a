// Where in the house one stands: `#/book/<id>` is room "book" with path ["<id>"].
import { signal } from './ui.js';

/** @typedef {{ room: string, path: string[], query: URLSearchParams }} Place */

export const rooms = /** @type {const} */ (['pour', 'book', 'shelf', 'palate']);

/** @param {string} hash @returns {Place} */
export function readPlace(hash) {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const [room = '', ...rest] = path.split('/').map(decodeURIComponent);
  return { room: room || 'pour', path: rest.filter(Boolean), query: new URLSearchParams(query) };
}

export const place = signal(readPlace(location.hash));

addEventListener('hashchange', () => {
  place.value = readPlace(location.hash);
  scrollTo(0, 0);
});

/** @param {string} path such as `/book/<id>` */
export function go(path, { replace = false } = {}) {
  if (replace) {
    history.replaceState(null, '', `#${path}`);
    place.value = readPlace(location.hash);
  } else {
    location.hash = path;
  }
}
