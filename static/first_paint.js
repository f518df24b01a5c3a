/*
 * Paints the theme and a snapshot of the notebook's first page while the tables are still being
 * opened. Imports nothing of the app. A write removes the snapshot, or marks a row of it
 * (store/database.js), so that it never shows stale data; features/book/list/snapshot.js makes it.
 */
import { STALE, frameKey, journalKey, markStale, themeKey, snapshotKey } from './store/database_name.js';

/**
 * @typedef {string | [string, Record<string, string>, any[]]} SnapshotNode a text, or an element
 *   with its attributes and its children
 */

export const BOOK_HASH = '#/book';
export const TAGS = new Set([
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
export const ATTRIBUTES = /^(class|href|role|style|type|placeholder|aria-(hidden|label|current|pressed))$/;
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
  // A row that was written since: its place stays empty until the app has read it.
  if (!('stale' in attributes)) node.append(...children.map(deserialize));
  return node;
}

/**
 * @template T
 * @param {() => T} act
 * @returns {T | undefined} undefined if the browser has no storage
 */
export function withStorage(act) {
  try {
    return act();
  } catch {
    return undefined;
  }
}

/** @param {string | null | undefined} light of the settings: day, night, or null for the phone's setting */
export function applyTheme(light) {
  document.documentElement.dataset['light'] = light ?? 'auto';
  withStorage(() => localStorage.setItem(themeKey, light ?? 'auto'));
}

/** Tell whether the snapshot, or a row of it, is out of date and can be made again. */
export function lacksSnapshot() {
  return withStorage(() => frameKey in localStorage && (localStorage.getItem(snapshotKey) ?? STALE).includes(STALE));
}

/** @returns {import('./store/write.js').Edit[]} those that the app has yet to replay */
function journaledEdits() {
  const keys = Object.keys(localStorage).filter((key) => key.startsWith(journalKey));
  return keys.flatMap((key) => JSON.parse(localStorage.getItem(key) ?? '[]'));
}

/** Replace the cover with the snapshot, if there is one. */
export function restoreSnapshot() {
  withStorage(() => {
    const light = localStorage.getItem(themeKey);
    if (light) document.documentElement.dataset['light'] = light;
    const seen = location.hash === BOOK_HASH ? localStorage.getItem(snapshotKey) : null;
    if (!seen) return;
    const [lang, width, nodes] = JSON.parse(journaledEdits().reduce(markStale, seen));
    // Reading the width itself would force a layout of the cover.
    if (!matchMedia(`(width: ${Number(width)}px)`).matches) return;
    document.documentElement.lang = lang;
    document.getElementById('app')?.replaceChildren(...nodes.map(deserialize));
  });
}
