// Counts cues of age over the user's own bottles of known vintage.
import { useEffect, useState } from '../../lib/ui.js';
import { bottlesByIds, latestTastings } from '../../store/queries.js';
import { resolveBottle } from '../bottle_names.js';
import { isLeftOut } from '../faults.js';
import { learnCues } from '../../rules/tasting/age_cues.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ cues: import('../../rules/tasting/age_cues.js').OwnCues, bottles: number }} Own */

const MAX_TASTINGS = 500;
const CUE_FIELDS = ['look_hue', 'look_rim', 'look_gradation', 'fruit_state'];

/**
 * @param {string} except id of the shown tasting, which must not count
 * @returns {Own | null}
 */
export function useLearnedCues(except) {
  const [own, setOwn] = useState(/** @type {Own | null} */ (null));
  useEffect(() => {
    let left = false;
    confirmed(except).then((pairs) => {
      if (!left) setOwn({ cues: learnCues(pairs), bottles: new Set(pairs.map((pair) => pair.id)).size });
    });
    return () => {
      left = true;
    };
  }, [except]);
  return own;
}

/** Return tastings with a cue of age whose bottle has a visible vintage. @param {string} except */
async function confirmed(except) {
  const rows = (await latestTastings(MAX_TASTINGS)).filter(
    (row) =>
      row.id !== except &&
      !row.fields['example'] &&
      !isLeftOut(row.fields) &&
      CUE_FIELDS.some((sign) => row.fields[sign]),
  );
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.flatMap((row) => {
    const bottle = resolveBottle(bottles, row.fields['bottle']);
    return bottle?.fields['vintage'] && !bottle.fields['covered']
      ? [{ id: bottle.id, tasting: row.fields, bottle: bottle.fields }]
      : [];
  });
}
