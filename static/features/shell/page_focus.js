// Leads the keyboard and a screen reader to a page that was drawn: to its heading, or after a return to what was opened
// there. The title of the browser's window follows the heading.
import { arrivals, route, tops } from '../../router.js';
import { t } from '../../i18n.js';

/** Whether another page came, and nobody has done anything on it yet. */
let isNew = false;
let place = location.hash;
let isReturn = false;
let hasActed = false;
let isSettling = false;
/** @type {Element | null} */
let pressed = null;
/** What was opened last on each page. @type {Map<string, string | null>} */
const opened = new Map();

export function watchPages() {
  // On a slow network somebody opens another page before this is loaded.
  isNew = hasActed = arrivals.peek() > 0;
  addEventListener('keydown', endPage, true);
  addEventListener('pointerdown', endPage, true);
  addEventListener('click', ({ target }) => notePress(/** @type {Element} */ (target).closest('a, button')), true);
  addEventListener('popstate', () => notePress(null, true));
  route.subscribe(leave);
  const atStart = tops.value;
  tops.subscribe((times) => {
    if (times > atStart) isNew = hasActed;
    look();
  });
  const app = /** @type {HTMLElement} */ (document.getElementById('app'));
  new MutationObserver(look).observe(app, { childList: true, characterData: true, subtree: true });
}

function endPage() {
  isNew = false;
  hasActed = true;
}

/** @param {Element | null} control @param {boolean} [goesBack] */
function notePress(control, goesBack = control?.matches('.back') ?? false) {
  hasActed = true;
  pressed = control;
  isReturn = goesBack;
}

/** Note what was opened on the page that is left. */
function leave() {
  const before = place;
  place = location.hash;
  if (place === before) return;
  if (!isReturn && pressed) opened.set(before, nameOf(pressed));
  pressed = null;
  isNew = hasActed;
}

/** @param {Element} control @returns {string | null} what it has in common with the one that is drawn after a return */
const nameOf = (control) => control.getAttribute('href') ?? control.textContent;

function look() {
  const title = document.querySelector('h1')?.textContent.trim();
  // A page begins without a title until it has read its data.
  if (!title) return;
  const whole = `${title} \u2013 ${t('app.name')}`;
  if (document.title !== whole) document.title = whole;
  if (!isNew || isSettling) return;
  isSettling = true;
  // After the paint, because the focus makes the browser compute the styles of what changed since.
  requestAnimationFrame(() => setTimeout(settle));
}

function settle() {
  isSettling = false;
  const now = document.activeElement;
  const start = document.querySelector('#page [data-start]') ?? document.querySelector('h1');
  // Behind an open sheet nothing takes the focus.
  if (!isNew || !start || !(now === document.body || now === start || now?.closest('.main-nav'))) return;
  const target = isReturn && opened.get(place);
  const found = target && [...document.querySelectorAll('#page a, #page button')].find((one) => nameOf(one) === target);
  const goal = /** @type {HTMLElement} */ (found || start);
  if (goal === now) return;
  if (!found) goal.tabIndex = -1;
  goal.focus({ preventScroll: true });
  if (found && goal.matches(':focus-visible')) goal.scrollIntoView({ block: 'nearest' });
}
