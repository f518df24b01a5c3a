/*
 * Paints the theme and a snapshot of the notebook's first page while the tables are still being
 * opened. Imports nothing of the app. A write removes the snapshot (store/database.js), so that it
 * never shows stale data.
 */
import { themeKey, snapshotKey } from './store/database_name.js';

/**
 * @typedef {string | [string, Record<string, string>, any[]]} SnapshotNode a text, or an element
 *   with its attributes and its children
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
/** Parts that may change without a write, such as the sync status. They are left out. */
const DYNAMIC_PARTS = '.state-words, [role="status"]';
/** Notices may be outdated at the next start. They are left out. */
const TRANSIENT_PARTS = '#app > .notice';
const MAX_LENGTH = 100_000;

/** Tell whether an element is far below or right of the viewport. @param {HTMLElement} node */
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

/**
 * @param {SnapshotNode} source
 * @returns {Node} built from the listed tags and attributes only, without parsing markup
 */
function deserialize(source) {
  if (typeof source === 'string') return document.createTextNode(source);
  const [tag, attributes, children] = source;
  const node = document.createElement(TAGS.has(tag) ? tag : 'span');
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'style') node.style.cssText = value;
    else if (ATTRIBUTES.test(name) && (name !== 'href' || value.startsWith('#'))) node.setAttribute(name, value);
  }
  // Text typed before the app is loaded would be lost. Links work already.
  if (node instanceof HTMLInputElement) node.readOnly = true;
  node.append(...children.map(deserialize));
  return node;
}

/**
 * @template T
 * @param {() => T} act
 * @returns {T | undefined} undefined if the browser has no storage
 */
function withStorage(act) {
  try {
    return act();
  } catch {
    return undefined;
  }
}

/** Store the notebook's first page, as it is shown now, for the next start. @param {Element} app */
export function saveSnapshot(app) {
  const seen = JSON.stringify([document.documentElement.lang, innerWidth, serialize(app)]);
  if (location.hash === BOOK_HASH && scrollY === 0 && seen.length < MAX_LENGTH)
    withStorage(() => localStorage.setItem(snapshotKey, seen));
}

/** @param {string | null | undefined} light of the settings: day, night, or null for the phone's setting */
export function applyTheme(light) {
  document.documentElement.dataset['light'] = light ?? 'auto';
  withStorage(() => localStorage.setItem(themeKey, light ?? 'auto'));
}

/** Replace the cover with the snapshot, if there is one. */
export function restoreSnapshot() {
  withStorage(() => {
    const light = localStorage.getItem(themeKey);
    if (light) document.documentElement.dataset['light'] = light;
    const seen = location.hash === BOOK_HASH ? localStorage.getItem(snapshotKey) : null;
    if (!seen) return;
    const [lang, width, nodes] = JSON.parse(seen);
    // Reading the width itself would force a layout of the cover.
    if (!matchMedia(`(width: ${Number(width)}px)`).matches) return;
    document.documentElement.lang = lang;
    document.getElementById('app')?.replaceChildren(...nodes.map(deserialize));
  });
}
