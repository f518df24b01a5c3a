/**
 * What the tables do not hold yet when the page goes away. A page that is closed or loaded anew does not wait for
 * them, and a
 * write that is under way then comes to nothing. So it is laid beside them, where one word at the last moment is
 * enough, and
 * the next start writes it (`replay_journal.js`).
 */
import { signal } from '../vendor/signals-core.js';
import { newId } from './record.js';
import { unwrittenKey } from './database_name.js';

/** @typedef {import('./write.js').Edit} Edit */
/** @typedef {() => Edit[]} Source */

/** Of this page alone: another one of the same book has words of its own. */
const key = `${unwrittenKey}${newId()}`;
/** @type {Source[]} the earliest words first */
const sources = [];
/** @type {(() => void)[]} */
const hearers = [];
let isLaid = false;

/** What pages that are gone have laid, and there is still no room for; the earliest words first. */
export const laid = signal(/** @type {Edit[]} */ ([]));

/**
 * @param {import('./record.js').Kind} kind
 * @param {string} id
 * @returns {import('./record.js').Fields} what is laid of one record
 */
export function laidFields(kind, id) {
  return Object.assign({}, ...laid.value.filter((edit) => edit.kind === kind && edit.id === id).map((edit) => edit.fields));
}

/** @param {Source} source says what it has that no table holds yet */
export function watchUnwritten(source) {
  sources.push(source);
}

/** @param {() => void} hear called whenever something was written */
export function onWritten(hear) {
  hearers.push(hear);
}

/** Tries to write what pages that are gone have laid, as every write that finds room does. */
export function tryLaid() {
  for (const hear of hearers) hear();
}

/** To be called when something was written: what is laid beside the tables then is laid again without it. */
export function noLongerUnwritten() {
  tryLaid();
  if (isLaid) layBeside();
}

/**
 * @returns {string[]} where pages that are gone have laid something, and perhaps another that is still open; the
 *   earliest first
 */
export function laidKeys() {
  try {
    // By the time at which their pages were opened, for that is how ids sort.
    return Object.keys(localStorage).filter((name) => name.startsWith(unwrittenKey) && name !== key).sort();
  } catch {
    return [];
  }
}

/** Lays down what no table holds yet; what lies there already is taken away once there is no such thing. */
export function layBeside() {
  const edits = sources.flatMap((source) => source());
  if (edits.length === 0 && !isLaid) return;
  try {
    if (edits.length) localStorage.setItem(key, JSON.stringify(edits));
    else localStorage.removeItem(key);
    isLaid = edits.length > 0;
  } catch {
    // A browser that keeps no such words leaves it to the tables.
  }
}

// The second comes where a phone puts the app away, and may be the last that the page ever hears.
addEventListener('pagehide', layBeside);
document.addEventListener('visibilitychange', layBeside);
