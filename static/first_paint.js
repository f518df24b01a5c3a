/*
 * What stood there last, painted while the tables are still being opened: the light that was chosen, and the Book's
 * first
 * page as it was seen. Needs nothing of the app. A write to the book takes the page away (tables.js),
 * so that what is painted is what the book holds.
 */
import { themeKey, snapshotKey } from './store/database_name.js';

/**
 * @typedef {string | [string, Record<string, string>, any[]]} SnapshotNode a text, or an element with its attributes
 *   and the leaves in it
 */

const BOOK_HASH = '#/book';
const TAGS = new Set([
  'a',
  'button',
  'div',
  'h1',
  'h2',
  'header',
  'input',
  'label',
  'li',
  'main',
  'nav',
  'p',
  'span',
  'ul',
]);
const ATTRIBUTES = /^(class|href|role|style|type|placeholder|aria-(hidden|label|current|pressed|posinset|setsize))$/;
/** What may have changed meanwhile without a write: where the notes are. */
const DYNAMIC_PARTS = '.state-words, [role="status"]';
/** What is over by the next start: a newer edition is taken with it. */
const TRANSIENT_PARTS = '#app > .notice';
const MAX_LENGTH = 100_000;

/** What stands well below the screen, or to the right of it, is not seen. @param {HTMLElement} node */
function isOffscreen(node) {
  const { top, left } = node.getBoundingClientRect();
  return top > 1.25 * innerHeight || left > innerWidth;
}

/** @param {Element} element @returns {SnapshotNode[]} */
function serialize(element) {
  return [...element.childNodes].flatMap((node) => {
    if (node instanceof Text) return [node.data];
    if (
      !(node instanceof HTMLElement) ||
      !TAGS.has(node.localName) ||
      node.hidden ||
      node.matches(TRANSIENT_PARTS) ||
      isOffscreen(node)
    )
      return [];
    const attributes = [...node.attributes]
      .filter(({ name }) => ATTRIBUTES.test(name))
      .map(({ name, value }) => [name, value]);
    return [
      /** @type {SnapshotNode} */ ([
        node.localName,
        Object.fromEntries(attributes),
        node.matches(DYNAMIC_PARTS) ? ['\u00a0'] : serialize(node),
      ]),
    ];
  });
}

/** @param {SnapshotNode} leaf @returns {Node} made without markup being read, and of nothing but what is named above */
function deserialize(leaf) {
  if (typeof leaf === 'string') return document.createTextNode(leaf);
  const [tag, attributes, inside] = leaf;
  const node = document.createElement(TAGS.has(tag) ? tag : 'span');
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'style') node.style.cssText = value;
    else if (ATTRIBUTES.test(name) && (name !== 'href' || value.startsWith('#'))) node.setAttribute(name, value);
  }
  // What is typed before the app is there would be lost; a link leads where it says already.
  if (node instanceof HTMLInputElement) node.readOnly = true;
  node.append(...inside.map(deserialize));
  return node;
}

/**
 * @template T
 * @param {() => T} work
 * @returns {T | undefined} nothing where the browser keeps no such notes; they are only a head start
 */
function withStorage(work) {
  try {
    return work();
  } catch {
    return undefined;
  }
}

/** Keeps the Book's first page, as it stands there now, for the next start. @param {Element} app */
export function saveSnapshot(app) {
  const seen = JSON.stringify([document.documentElement.lang, innerWidth, serialize(app)]);
  if (location.hash === BOOK_HASH && scrollY === 0 && seen.length < MAX_LENGTH)
    withStorage(() => localStorage.setItem(snapshotKey, seen));
}

/** @param {string | null | undefined} light of the settings: day, night or the phone's own */
export function applyTheme(light) {
  document.documentElement.dataset['light'] = light ?? 'auto';
  withStorage(() => localStorage.setItem(themeKey, light ?? 'auto'));
}

/** What was seen last takes the cover's place, where something was. */
export function restoreSnapshot() {
  withStorage(() => {
    const light = localStorage.getItem(themeKey);
    if (light) document.documentElement.dataset['light'] = light;
    const seen = location.hash === BOOK_HASH ? localStorage.getItem(snapshotKey) : null;
    if (!seen) return;
    const [lang, width, leaves] = JSON.parse(seen);
    // Asking for the width itself would lay out the cover, which nobody sees then.
    if (!matchMedia(`(width: ${Number(width)}px)`).matches) return;
    document.documentElement.lang = lang;
    document.getElementById('app')?.replaceChildren(...leaves.map(deserialize));
  });
}
