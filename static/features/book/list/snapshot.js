// Makes the snapshot of the notebook's first page, which the next start paints first. The frame of the page is kept,
// and its rows are made again after each write.
import { html, render } from '../../../lib/ui.js';
import { ATTRIBUTES, BOOK_HASH, TAGS, lacksSnapshot, withStorage } from '../../../first_paint.js';
import { VirtualList } from '../../../components/layout/virtual_list.js';
import { listRows } from '../../../domain/list_rows.js';
import { transaction } from '../../../store/database.js';
import { frameKey, snapshotKey } from '../../../store/database_name.js';
import { firstEntries } from './first_entries.js';

/** @typedef {import('../../../first_paint.js').SnapshotNode} SnapshotNode */

/** Parts that may change without a write, such as the sync status. They are left out. */
const DYNAMIC_PARTS = '.state-words, [role="status"]';
/** Notices may be outdated at the next start. They are left out. */
const TRANSIENT_PARTS = '#app > .notice';
/** Stands for the rows in a frame, which has no text of the notebook. */
const ROWS = '[null]';
const MAX_LENGTH = 100_000;

/** Tell whether an element is far below or right of the viewport. @param {HTMLElement} node */
function isOffscreen(node) {
  const { top, left } = node.getBoundingClientRect();
  return top > 1.25 * innerHeight || left > innerWidth;
}

/** @param {Element} element @returns {(SnapshotNode | null)[]} */
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
        node.matches('.tasting-list') ? [null] : node.matches(DYNAMIC_PARTS) ? ['\u00a0'] : serialize(node),
      ]),
    ];
  });
}

let framedWidth = 0;

/** Store the snapshot of the page as it is shown now, once while the app is open and whenever there is none. */
export function saveSnapshot() {
  const isStored = withStorage(() => snapshotKey in localStorage && !lacksSnapshot());
  if (!isStored || framedWidth !== innerWidth) renewSnapshot(takeFrame());
}

/** @returns {string | null} the page as it is shown now, without its rows; null while it shows something else */
function takeFrame() {
  const app = /** @type {HTMLElement} */ (document.getElementById('app'));
  if (location.hash !== BOOK_HASH || scrollY > 0) return null;
  framedWidth = innerWidth;
  const frame = JSON.stringify([document.documentElement.lang, innerWidth, serialize(app)]);
  // A notice tells about all tastings, so the frame is out of date after a write.
  withStorage(() => {
    if (app.querySelector('main > .notice')) localStorage.removeItem(frameKey);
    else localStorage.setItem(frameKey, frame);
  });
  return frame;
}

/** Store the snapshot for the next start. @param {string | null | undefined} [frame] */
export async function renewSnapshot(frame = withStorage(() => localStorage.getItem(frameKey))) {
  // A change of the language may not have been shown yet.
  if (!frame?.startsWith(JSON.stringify([document.documentElement.lang]).slice(0, -1))) return;
  // Within one transaction, so that no write comes between reading and storing.
  await transaction('r', ['tasting', 'bottle'], async () => {
    const entries = await firstEntries();
    const isNoticed = !entries.some(({ example }) => example) || frame.includes('"notice"');
    const seen = frame.replace(ROWS, () => JSON.stringify(rowsOf(entries)));
    if (entries.length && isNoticed && seen.length < MAX_LENGTH)
      withStorage(() => localStorage.setItem(snapshotKey, seen));
  }).catch(() => undefined);
}

/** Render the first rows outside the page. @param {import('../../../domain/list_rows.js').ListEntry[]} entries */
function rowsOf(entries) {
  const box = document.createElement('div');
  render(html`<${VirtualList} lines=${listRows(entries)} px=${innerHeight} />`, box);
  const rows = serialize(/** @type {Element} */ (box.firstElementChild));
  render(null, box);
  return rows;
}
