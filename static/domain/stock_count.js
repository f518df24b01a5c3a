// Changes the count of a stock by a difference, because another tab or phone may have changed it meanwhile.

/** @typedef {import('../store/write.js').Edit} Edit */
/** @typedef {Edit & { by?: number }} CountEdit `by`: what to add; the rest is what a page that is closed leaves */

/**
 * Add to the count as it is when the edit is committed. A stock that is to be deleted stays while bottles are left.
 * @type {import('../store/write.js').Part}
 */
export function addToCount(record, edit) {
  const { by, fields = {}, deleted } = /** @type {CountEdit} */ (edit);
  const count = Math.max(0, (record.fields['count'] ?? 0) + (by ?? 0));
  const isAdded = by !== undefined && ('count' in fields || (deleted && count > 0));
  return { open: isAdded ? { fields: { ...fields, count } } : edit, past: null, record };
}
