// Leads the keyboard and a screen reader to a page that was drawn: to its heading, or after a return to what was opened
// there. The title of the browser's window follows the heading.
import { route, tops } from '../../router.js';
import { t } from '../../i18n.js';

/** @typedef {{ start: Element | null, text: string, target?: string | undefined }} Left */

/** Where the page began before it changed, until somebody does something on the next one. @type {Left | null} */
let left = null;
let place = '';
let isReturn = false;
let hasActed = false;
let isSettling = false;
/** @type {Element | null} */
let pressed = null;
/** What was opened last on each page. @type {Map<string, string>} */
const opened = new Map();

export function watchPages() {
  place = location.hash;
  addEventListener('click', notePress, true);
  addEventListener('popstate', () => {
    [isReturn, hasActed, pressed] = [true, true, null];
  });
  for (const act of ['keydown', 'pointerdown']) addEventListener(act, endPage, true);
  route.subscribe(leave);
  // The number at the start tells of no change.
  const [{ value }, begin] = [tops, { start: null, text: '' }];
  tops.subscribe((times) => {
    if (times !== value && hasActed) left = begin;
    look();
  });
  const app = /** @type {HTMLElement} */ (document.getElementById('app'));
  new MutationObserver(look).observe(app, { childList: true, characterData: true, subtree: true });
}

function endPage() {
  left = null;
  hasActed = true;
}

/** @param {MouseEvent} event */
function notePress({ target }) {
  hasActed = true;
  pressed = target instanceof Element ? target.closest('a, button') : null;
  isReturn = pressed?.matches('.back') ?? false;
}

/** Note what the page that is left begins with, before the next one is drawn. */
function leave() {
  const before = place;
  place = location.hash;
  if (place === before || !hasActed) return;
  if (!isReturn && pressed?.closest('#page')) opened.set(before, nameOf(pressed));
  pressed = null;
  const start = pageStart();
  left = { start, text: textOf(start), target: isReturn ? opened.get(place) : undefined };
}

/** @param {Element} control @returns {string} what it has in common with the one that is drawn after a return */
const nameOf = (control) => control.getAttribute('href') ?? textOf(control);

const textOf = (/** @type {Element | null} */ element) => element?.textContent?.trim() ?? '';

/** @returns {Element | null} the heading of what the page shows now */
const pageStart = () => document.querySelector('#page [data-start]') ?? document.querySelector('h1');

function look() {
  const title = textOf(document.querySelector('h1'));
  const whole = `${title} \u2013 ${t('app.name')}`;
  if (title && document.title !== whole) document.title = whole;
  if (!left || isSettling) return;
  const start = pageStart();
  const text = textOf(start);
  // The page that is left stays until the next one is loaded, which begins without a title.
  if (!text || (start === left.start && text === left.text)) return;
  isSettling = true;
  // After the paint, because the focus makes the browser compute the styles of what changed since.
  requestAnimationFrame(() => setTimeout(settle));
}

function settle() {
  isSettling = false;
  const now = document.activeElement;
  const start = pageStart();
  const isFree = !now || now === document.body || now === start || now.closest('.main-nav');
  if (!left || !isFree || document.querySelector('dialog[open]')) return;
  const { target } = left;
  const found = target && [...document.querySelectorAll('#page a, #page button')].find((one) => nameOf(one) === target);
  const goal = /** @type {HTMLElement | null} */ (found || start);
  if (!goal || goal === now) return;
  if (!found) goal.tabIndex = -1;
  goal.focus({ preventScroll: true });
  if (found && goal.matches(':focus-visible')) goal.scrollIntoView({ block: 'nearest' });
}
