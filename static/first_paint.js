/*
 * What stood there last, painted while the tables are still being opened: the light that was chosen, and the Book's first
 * page as it was seen. Needs nothing of the app. A write to the book takes the page away (tables.js),
 * so that what is painted is what the book holds.
 */
import { lightKey, seenKey } from './store/database_name.js';

/** @typedef {string | [string, Record<string, string>, any[]]} Leaf a text, or an element with its attributes and the leaves in it */

const BOOK = '#/book';
const TAGS = new Set(['a', 'button', 'div', 'h1', 'h2', 'header', 'input', 'label', 'li', 'main', 'nav', 'p', 'span', 'ul']);
const ATTRIBUTES = /^(class|href|role|style|type|placeholder|aria-(hidden|label|current|pressed|posinset|setsize))$/;
/** What may have changed meanwhile without a write: where the notes are. */
const NEWS = '.state-words, [role="status"]';
/** What is over by the next start: a newer edition is taken with it. */
const PASSING = '#app > .notice';
const LARGEST = 100_000;

/** What stands well below the screen, or to the right of it, is not seen. @param {HTMLElement} node */
function isBeyond(node) {
  const { top, left } = node.getBoundingClientRect();
  return top > 1.25 * innerHeight || left > innerWidth;
}

/** @param {Element} element @returns {Leaf[]} */
function leavesOf(element) {
  return [...element.childNodes].flatMap((node) => {
    if (node instanceof Text) return [node.data];
    if (!(node instanceof HTMLElement) || !TAGS.has(node.localName) || node.hidden || node.matches(PASSING) || isBeyond(node)) return [];
    const attributes = [...node.attributes].filter(({ name }) => ATTRIBUTES.test(name)).map(({ name, value }) => [name, value]);
    return [/** @type {Leaf} */ ([node.localName, Object.fromEntries(attributes), node.matches(NEWS) ? ['\u00a0'] : leavesOf(node)])];
  });
}

/** @param {Leaf} leaf @returns {Node} made without markup being read, and of nothing but what is named above */
function nodeOf(leaf) {
  if (typeof leaf === 'string') return document.createTextNode(leaf);
  const [tag, attributes, inside] = leaf;
  const node = document.createElement(TAGS.has(tag) ? tag : 'span');
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'style') node.style.cssText = value;
    else if (ATTRIBUTES.test(name) && (name !== 'href' || value.startsWith('#'))) node.setAttribute(name, value);
  }
  // What is typed before the app is there would be lost; a link leads where it says already.
  if (node instanceof HTMLInputElement) node.readOnly = true;
  node.append(...inside.map(nodeOf));
  return node;
}

/** @template T @param {() => T} work @returns {T | undefined} nothing where the browser keeps no such notes; they are only a head start */
function ifKept(work) {
  try {
    return work();
  } catch {
    return undefined;
  }
}

/** Keeps the Book's first page, as it stands there now, for the next start. @param {Element} app */
export function keepSeen(app) {
  const seen = JSON.stringify([document.documentElement.lang, innerWidth, leavesOf(app)]);
  if (location.hash === BOOK && scrollY === 0 && seen.length < LARGEST) ifKept(() => localStorage.setItem(seenKey, seen));
}

/** @param {string | null | undefined} light of the settings: day, night or the phone's own */
export function showLight(light) {
  document.documentElement.dataset['light'] = light ?? 'auto';
  ifKept(() => localStorage.setItem(lightKey, light ?? 'auto'));
}

/** What was seen last takes the cover's place, where something was. */
export function paintSeen() {
  ifKept(() => {
    const light = localStorage.getItem(lightKey);
    if (light) document.documentElement.dataset['light'] = light;
    const seen = location.hash === BOOK ? localStorage.getItem(seenKey) : null;
    if (!seen) return;
    const [lang, width, leaves] = JSON.parse(seen);
    // Asking for the width itself would lay out the cover, which nobody sees then.
    if (!matchMedia(`(width: ${Number(width)}px)`).matches) return;
    document.documentElement.lang = lang;
    document.getElementById('app')?.replaceChildren(...leaves.map(nodeOf));
  });
}
