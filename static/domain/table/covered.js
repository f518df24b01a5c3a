// Which labels nobody may see yet; mirrored by `is_uncovered()` (webapp/group_tasting/table.py).

/** Tell whether labels are hidden: unless the leader said otherwise. @param {Record<string, any>} head */
export function areLabelsHidden(head) {
  return head['labels_hidden'] !== false;
}

/**
 * @param {Pick<import('./table_records.js').TableRecords, 'row'>} table
 * @param {import('../../store/record.js').Row | undefined} glass
 */
export function isCovered({ row }, glass) {
  return areLabelsHidden(row?.fields ?? {}) && !glass?.fields['uncovered_at'];
}
