// Course of one aroma over the noted steps: where it was noted, gone or not asked about again.
import { parseEntry } from '../../../domain/aroma/entry.js';

/** @typedef {'stayed' | 'appeared' | 'passed' | 'faded' | ''} CourseChange empty if the last step does not say */

/** In the order of the chart. @type {CourseChange[]} */
export const CHANGES = ['stayed', 'appeared', 'passed', 'faded', ''];

/**
 * @param {string} aroma
 * @param {Record<string, string[] | null | undefined>} tasting
 * @param {ReturnType<typeof import('../../../rules/tasting/nose.js').evolution>} evolution of this tasting
 * @returns {{ strengths: (number | null | undefined)[], change: CourseChange }} strengths at each noted step: 0
 *   without a strength, null if absent, undefined if nobody asked
 */
export function aromaCourse(aroma, tasting, { noted, changes }) {
  /** @type {(number | null | undefined)[]} */
  const strengths = [];
  noted.forEach((field, at) => {
    const now = strengthAt(tasting[field], aroma);
    const isUnasked = at > 0 && strengths[at - 1] !== null && !changes[at - 1]?.faded.includes(aroma);
    strengths.push(now === null && isUnasked ? undefined : now);
  });
  return { strengths, change: changeOf(strengths) };
}

/** @param {string[] | null | undefined} entries @param {string} aroma */
function strengthAt(entries, aroma) {
  const entry = (entries ?? []).map(parseEntry).find((each) => each.aroma === aroma);
  return entry ? (entry.strength ?? 0) : null;
}

/** @param {(number | null | undefined)[]} strengths @returns {CourseChange} */
function changeOf(strengths) {
  const wasFirst = strengths[0] !== null;
  const last = strengths.at(-1);
  if (last === undefined) return '';
  if (last === null) return wasFirst ? 'faded' : 'passed';
  return wasFirst ? 'stayed' : 'appeared';
}
