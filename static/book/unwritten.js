/**
 * What the tables do not hold yet when the page goes away. A page that is closed or loaded anew does not wait for them, and a
 * write that is under way then comes to nothing. So it is laid beside them, where one word at the last moment is enough, and
 * the next start writes it (`laid_beside.js`).
 */
import { newId } from './record.js';
import { unwrittenKey } from './book_name.js';

/** @typedef {import('./write.js').Edit} Edit */
/** @typedef {() => Edit[]} Source */

/** Of this page alone: another one of the same book has words of its own. */
const key = `${unwrittenKey}${newId()}`;
/** @type {Source[]} the earliest words first */
const sources = [];
/** @type {(() => void)[]} */
const hearers = [];
let isLaid = false;

/** @param {Source} source says what it has that no table holds yet */
export function watchUnwritten(source) {
  sources.push(source);
}

/** @param {() => void} hear called whenever something was written */
export function onWritten(hear) {
  hearers.push(hear);
}

/** To be called when something was written: what is laid beside the tables then is laid again without it. */
export function noLongerUnwritten() {
  for (const hear of hearers) hear();
  if (isLaid) layBeside();
}

/** @returns {string[]} where pages that are gone have laid something, and perhaps another that is still open */
export function laidKeys() {
  try {
    return Object.keys(localStorage).filter((name) => name.startsWith(unwrittenKey) && name !== key);
  } catch {
    return [];
  }
}

/** Lays down what no table holds yet; what lies there already is taken away once there is no such thing. */
function layBeside() {
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
