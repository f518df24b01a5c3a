// Shows what was just entered before it is stored, so that a stored older text does not replace what
// somebody is typing.
import { useState } from '../../lib/ui.js';

/** @typedef {Record<string, any>} Fields */

/**
 * @param {string} key of the record; edits of another one are forgotten
 * @param {Fields} stored
 * @returns {[Fields, (changed: Fields) => void]} the fields to show, and a function that changes them
 */
export function useOverlay(key, stored) {
  const [edits, setEdits] = useState({ key, fields: /** @type {Fields} */ ({}) });
  const own = edits.key === key ? edits.fields : {};
  const patch = (/** @type {Fields} */ changed) =>
    setEdits((before) => ({ key, fields: before.key === key ? { ...before.fields, ...changed } : changed }));
  return [{ ...stored, ...own }, patch];
}
