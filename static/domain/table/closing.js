// When a step of a glass closes for guests; a port of `webapp/group_tasting/closing.py`. Pure.
import file from '../../spec/group_steps.json' with { type: 'json' };

/** For so long after the leader went on, guests may finish a step. */
const GRACE_MS = file.grace_s * 1000;

/**
 * Return the last millisecond of a moment that is written to the second, so that nothing noted before it seems too
 * late.
 * @param {string} moment RFC 3339
 */
function lastMs(moment) {
  return Date.parse(moment) + (/\d\.\d/.test(moment) ? 0 : 999);
}

/**
 * @param {string | null | undefined} wentOn when the leader went on to the next step
 * @param {(string | null | undefined)[]} heard moments after which guests may know more (answers or a label shown, the
 *   end of the table); they end the seconds that are left
 * @returns {number | null} when the step closes (ms since 1970); null while it is open
 */
export function closingMs(wentOn, heard) {
  const moments = heard.flatMap((moment) => (moment ? [lastMs(moment)] : []));
  if (wentOn) moments.push(lastMs(wentOn) + GRACE_MS);
  return moments.length ? Math.min(...moments) : null;
}
