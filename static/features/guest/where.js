// Where in the table a guest is, as an address, so that the browser's back button goes one view back: #/guest/<table>
// follows the leader; /glass/<glass>, /glass/<glass>/<step>, /notes, /results and /exit stand beside it.
import { useEffect, useLayoutEffect } from '../../lib/ui.js';
import { navigate } from '../../router.js';
import { wasCutOff } from '../../domain/guest/guest_link.js';
import { glassesOf, reachedSteps } from '../../domain/guest/place.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';

/** @typedef {{ glass: string, step: string | null }} Shown step null: the whole glass */
/** @typedef {{ page: 'now' | 'glass' | 'notes' | 'results' | 'exit', shown: Shown | null }} Where */

const PAGES = /** @type {const} */ (['notes', 'results', 'exit']);

/**
 * @param {string[]} path after the table's id
 * @param {import('../../domain/guest/guest_store.js').View} view
 * @returns {Where}
 */
export function whereOf([name = '', id = '', step = ''], view) {
  const page = PAGES.find((each) => each === name);
  if (page) return { page, shown: null };
  const glass = name === 'glass' ? glassesOf(view).find((each) => each.id === id) : undefined;
  if (!glass) return { page: 'now', shown: null };
  const isReached = reachedSteps(view, glass, valuesOfGlass(id), wasCutOff.value).includes(step);
  return { page: 'glass', shown: { glass: id, step: isReached ? step : null } };
}

/** @param {string} table @param {Shown | 'notes' | 'results' | null} to null: what the leader has opened */
export function go(table, to) {
  const rest = to === null || typeof to === 'string' ? [to] : ['glass', to.glass, to.step];
  navigate(['/guest', table, ...rest.filter(Boolean)].join('/'));
}

const exitKey = (/** @type {string} */ table) => `guest.exit.${table}`;

/**
 * Put a page under the table's first view that asks whether to leave, so that the back button does not leave at once.
 * @param {string} table
 * @param {string[]} path
 * @param {boolean} isSeated whether this phone sits there
 */
export function useExit(table, path, isSeated) {
  useEffect(() => {
    const before = history.scrollRestoration;
    history.scrollRestoration = 'manual';
    return () => {
      history.scrollRestoration = before;
    };
  }, []);
  useLayoutEffect(() => {
    if (!isSeated) return;
    try {
      if (path[0] === 'exit') sessionStorage.removeItem(exitKey(table));
      else if (!sessionStorage.getItem(exitKey(table))) {
        sessionStorage.setItem(exitKey(table), '1');
        putExit(table, path);
      }
    } catch {
      // Without sessionStorage nobody knows whether that page is there; the back button leaves.
    }
  }, [table, path.join('/'), isSeated]);
}

/** @param {string} table @param {string[]} path */
function putExit(table, path) {
  navigate(`/guest/${table}/exit`, { replace: true });
  navigate(['/guest', table, ...path].join('/'));
}
