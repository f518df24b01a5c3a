// The newest tastings, which are shown before all tastings are read.
import { bottlesByIds, latestTastings } from '../../../store/queries.js';
import { bottleLine, bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { faultText } from '../../../domain/faults.js';
import { isBlank, isUnfinished } from '../../../domain/drafts.js';
import { openPour } from '../../../store/open_pour.js';

const FIRST = 30;

/** @returns {Promise<import('../../../domain/list_rows.js').ListEntry[]>} */
export async function firstEntries() {
  const rows = await latestTastings(FIRST);
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.flatMap(({ id, fields }) => {
    const bottle = resolveBottle(bottles, fields['bottle']);
    if (id === openPour.peek()?.tasting && isBlank(fields) && isBlank(bottle?.fields ?? {})) return [];
    return {
      id,
      at: fields['tasted_at'] ?? '',
      liking: fields['liking'] ?? null,
      fault: faultText(fields),
      example: fields['example'] === true,
      unfinished: isUnfinished(fields),
      about: { name: bottleName(bottle), line: bottleLine(bottle) },
    };
  });
}
