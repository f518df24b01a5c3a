// Shows what was just entered before it is stored, so that a stored older text does not replace what
// somebody is typing. What another phone writes later is shown as soon as the field is left.
import { useEffect, useState } from '../../lib/ui.js';
import { isEqual } from '../../store/canonical.js';

/** @typedef {Record<string, any>} Fields */
/**
 * @typedef {{ value: any, before: any[], input: Element | null }} Entered before: what may be stored until it
 *   is; input: where it is typed
 */

/**
 * @param {string} key of the record; edits of another one are forgotten
 * @param {Fields} stored
 * @returns {[Fields, (changed: Fields) => void]} the fields to show, and a function that changes them
 */
export function useOverlay(key, stored) {
  const [edits, setEdits] = useState({ key, entered: /** @type {Record<string, Entered>} */ ({}) });
  const entered = edits.key === key ? edits.entered : {};
  const shown = Object.entries(entered).filter(([field, one]) => isShown(one, stored[field]));
  const patch = (/** @type {Fields} */ changed) =>
    setEdits((last) => {
      const own = last.key === key ? last.entered : {};
      const added = Object.entries(changed).map(([field, value]) => [field, enter(value, stored[field], own[field])]);
      return { key, entered: { ...own, ...Object.fromEntries(added) } };
    });
  useEffect(() => {
    // What is stored counts from now on, also if it becomes an earlier value again.
    const found = Object.entries(entered).flatMap(([field, one]) => (isShown(one, stored[field]) ? [] : [one]));
    if (found.length) setEdits((last) => ({ ...last, entered: without(last.entered, found) }));
  });
  useEffect(() => {
    const look = () => setEdits((last) => ({ ...last }));
    document.addEventListener('focusout', look);
    return () => document.removeEventListener('focusout', look);
  }, []);
  return [{ ...stored, ...Object.fromEntries(shown.map(([field, { value }]) => [field, value])) }, patch];
}

/**
 * Return what was entered without what was found stored. Something entered for the same field since remains.
 * @param {Record<string, Entered>} entered
 * @param {Entered[]} found
 */
export function without(entered, found) {
  return Object.fromEntries(Object.entries(entered).filter(([, one]) => !found.includes(one)));
}

/**
 * @param {any} value
 * @param {any} stored
 * @param {Entered | undefined} last entered before, and perhaps not stored yet
 * @returns {Entered}
 */
export function enter(value, stored, last) {
  const { activeElement: active } = document;
  const isTyped = active instanceof HTMLInputElement || active instanceof HTMLTextAreaElement;
  return { value, before: [stored, ...(last ? [...last.before, last.value] : [])], input: isTyped ? active : null };
}

/**
 * Tell whether an entered value is shown: while it is typed, and until it is stored.
 * @param {Entered} entered
 * @param {any} stored
 */
export function isShown({ value, before, input }, stored) {
  if (input && input === document.activeElement) return true;
  const is = (/** @type {any} */ one) => isEqual(one ?? null, stored ?? null);
  return !is(value) && before.some(is);
}
