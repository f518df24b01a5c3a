// Hash routes: `#/book/<id>` is screen "book" with path ["<id>"].
import { signal } from './lib/ui.js';

/** @typedef {{ screen: string, path: string[], query: URLSearchParams }} Route */

export const screens = /** @type {const} */ (['pour', 'book', 'shelf', 'palate', 'table']);

/** @param {string} hash @returns {Route} */
function parseHash(hash) {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?');
  const [name = '', ...rest] = path.split('/').map(decoded);
  const screen = name === 't' ? 'guest' : name;
  return { screen: screen || 'pour', path: rest.filter(Boolean), query: new URLSearchParams(query) };
}

/** @param {string} part @returns {string} the part as it stands if it is malformed */
function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

// The short address for a code, /t or /t/<code>, is answered with this page.
const short = location.pathname.match(/^\/t(?:\/(\w*))?$/);
if (short) history.replaceState(null, '', `/#/guest/${short[1] ?? ''}`);

export const route = signal(parseHash(location.hash));

/** Number of times that a screen was opened; a replaced address is still the same visit. */
export const arrivals = signal(0);

/** Number of times that a page began again at its top with something else on it. */
export const tops = signal(0);

addEventListener('hashchange', onHashChange);

function onHashChange() {
  arrivals.value += 1;
  route.value = parseHash(location.hash);
  scrollTo(0, 0);
}

/** Show the top of a page that shows something else now. */
export function toTop() {
  scrollTo(0, 0);
  tops.value += 1;
}

// Links are followed at once; the browser's own hash navigation takes several frames on a slow
// phone.
document.addEventListener('click', (event) => {
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  const hash = link?.getAttribute('href') ?? '';
  const ownWay =
    event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
  if (!hash.startsWith('#/') || ownWay || link?.target) return;
  event.preventDefault();
  navigate(hash.slice(1));
});

/** @param {string} path such as `/book/<id>` */
export function navigate(path, { replace = false } = {}) {
  if (replace) {
    history.replaceState(null, '', `#${path}`);
    route.value = parseHash(location.hash);
  } else if (location.hash !== `#${path}`) {
    history.pushState(null, '', `#${path}`);
    onHashChange();
  }
}
