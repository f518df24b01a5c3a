// Joins the summaries of tastings, bottles and visits to the entries of the list and the search.
import { resolveMerged } from '../rules/tasting/resolve_merged.js';
import { newestFirst as byTime } from '../store/newest_first.js';

/** @typedef {import('./search_index.js').Entry} Entry */
/** @typedef {import('./search_index.js').TastingSummary} TastingSummary */
/** @typedef {import('./search_index.js').BottleSummary} BottleSummary */
/**
 * @typedef {object} Summaries
 * @property {Map<string, TastingSummary>} tastings
 * @property {Map<string, BottleSummary>} bottles
 * @property {Map<string, string>} visits their searchable text
 * @property {BottleSummary} unknown stands for a bottle that is not there
 */
/** @typedef {{ tastings: Set<string>, bottles: Set<string>, visits: Set<string> }} Changes ids */

/** Above this number of changed records, joining all is faster. */
const MANY = 500;

/**
 * @param {Summaries} from
 * @returns {Entry[]} newest first
 */
export function joinEntries(from) {
  return [...from.tastings.keys()].flatMap((id) => joined(from, id) ?? []).sort(newestFirst);
}

/**
 * Join only what the changes concern, because a notebook may have many tastings.
 * @param {Entry[]} entries of the same summaries before the changes, newest first
 * @param {Summaries} from
 * @param {Changes} changes
 * @returns {Entry[]} a new array, newest first
 */
export function updateEntries(entries, from, changes) {
  const { tastings, bottles, visits } = changes;
  if (tastings.size + bottles.size + visits.size > MANY || isMerging(from, bottles)) return joinEntries(from);
  /** @type {string[]} */
  const again = [];
  const kept = entries.filter((entry) => {
    const isChanged = tastings.has(entry.id) || bottles.has(entry.bottle ?? '') || visits.has(entry.visit ?? '');
    if (isChanged) again.push(entry.id);
    return !isChanged;
  });
  const changed = [...new Set([...tastings, ...again])].flatMap((id) => joined(from, id) ?? []).sort(newestFirst);
  return interleave(kept, changed);
}

/**
 * Tell whether a changed bottle is part of a merge: a tasting that names another bottle may show it.
 * @param {Summaries} from
 * @param {Set<string>} changed
 */
function isMerging({ bottles }, changed) {
  if (!changed.size) return false;
  for (const [id, { merged_into }] of bottles)
    if (merged_into && (changed.has(id) || changed.has(merged_into))) return true;
  return false;
}

/** @param {Summaries} from @param {string} id @returns {Entry | null} */
function joined({ tastings, bottles, visits, unknown }, id) {
  const summary = tastings.get(id);
  if (!summary) return null;
  const about = resolveMerged(bottles, summary.bottle, (bottle) => bottle.merged_into) ?? unknown;
  return { ...summary, id, about, text: `${about.text} ${summary.text} ${visits.get(summary.visit ?? '') ?? ''}` };
}

/** @param {Entry} one @param {Entry} other */
function newestFirst(one, other) {
  return (one.at !== other.at && byTime(one.at, other.at)) || (one.id < other.id ? 1 : -1);
}

/** @param {Entry[]} kept @param {Entry[]} changed both sorted @returns {Entry[]} sorted */
function interleave(kept, changed) {
  /** @type {Entry[]} */
  const entries = [];
  let from = 0;
  for (const entry of changed) {
    let to = from;
    let end = kept.length;
    while (to < end) {
      const middle = (to + end) >> 1;
      if (newestFirst(/** @type {Entry} */ (kept[middle]), entry) < 0) to = middle + 1;
      else end = middle;
    }
    for (let at = from; at < to; at += 1) entries.push(/** @type {Entry} */ (kept[at]));
    entries.push(entry);
    from = to;
  }
  for (let at = from; at < kept.length; at += 1) entries.push(/** @type {Entry} */ (kept[at]));
  return entries;
}
