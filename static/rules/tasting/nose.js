import aromas from '../../spec/aromas.json' with { type: 'json' };
import evidence from '../../spec/evidence.json' with { type: 'json' };
import { RuleError } from '../errors.js';
import { AROMA_FIELDS } from './aroma_fields.js';

/** @type {Map<string, string>} */
const FAMILIES = new Map(
  aromas.families.flatMap((family) =>
    [family.id, ...family.words].map((aroma) => /** @type {[string, string]} */ ([aroma, family.id])),
  ),
);
for (const [old, word] of Object.entries(aromas.same_as)) FAMILIES.set(old, FAMILIES.get(word) ?? '');

/**
 * @typedef {Record<string, unknown>} Tasting fields of a tasting
 * @typedef {Map<string, number | null>} Strengths aroma ids with their strength (1-3) or null
 * @typedef {{ before: string, after: string, appeared: string[], faded: string[], stayed: string[],
 *   stronger: string[], weaker: string[] }} Change
 * @typedef {'plain' | 'some' | 'layered' | 'manifold'} Counted
 */

/**
 * Find aromas that appeared, faded or stayed between each noted step and the next. A step without
 * aromas is skipped. Only a step that repeats an earlier aroma answers which are still there; of
 * any other, none faded.
 * @param {Tasting} tasting
 * @returns {{ noted: string[], words: string[], changes: Change[] }}
 */
export function evolution(tasting) {
  const steps = notedSteps(tasting);
  /** @type {Set<string>} */
  const there = new Set();
  const changes = steps.slice(1).map((after, index) => {
    const before = /** @type {NotedStep} */ (steps[index]);
    for (const aroma of before.words.keys()) there.add(aroma);
    const found = change(before, after, there);
    for (const aroma of found.faded) there.delete(aroma);
    return found;
  });
  return { noted: steps.map((each) => each.step), words: [...notedAromas(tasting).keys()], changes };
}

/**
 * Count evidence for complexity: families, and aromas that appeared or faded.
 * @param {Tasting} tasting
 * @returns {{ steps: number, words: number, families: number, changes: number, reading: Counted | null }}
 */
export function complexityEvidence(tasting) {
  const { noted, words, changes } = evolution(tasting);
  // A custom aroma has no known family, so it counts as its own.
  const families = new Set(words.map((aroma) => aromaFamily(aroma) ?? aroma)).size;
  const moved = changes.reduce((sum, each) => sum + each.appeared.length + each.faded.length, 0);
  return {
    steps: noted.length,
    words: words.length,
    families,
    changes: moved,
    reading: words.length > 0 ? counted(families, moved) : null,
  };
}

/**
 * List the aromas of a tasting in order of first mention, with their largest strength (1-3) or
 * null.
 * @param {Tasting} tasting
 * @returns {Strengths}
 */
export function notedAromas(tasting) {
  /** @type {Strengths} */
  const found = new Map();
  for (const { words } of notedSteps(tasting)) {
    for (const [aroma, strength] of words) found.set(aroma, Math.max(found.get(aroma) ?? 0, strength ?? 0) || null);
  }
  return found;
}

/**
 * Return the family of an aroma id (of a family: itself); null for a custom aroma.
 * @param {string} aroma
 * @returns {string | null}
 */
export function aromaFamily(aroma) {
  return FAMILIES.get(aroma) ?? null;
}

/** @typedef {{ step: string, words: Strengths }} NotedStep */

/**
 * @param {Tasting} tasting
 * @returns {NotedStep[]}
 */
function notedSteps(tasting) {
  const found = [];
  for (const step of AROMA_FIELDS) {
    const entries = tasting[step] ?? null;
    if (entries === null) continue;
    if (!Array.isArray(entries) || !entries.every((each) => typeof each === 'string'))
      throw new RuleError('not_words', step);
    if (entries.length > 0) found.push({ step, words: new Map(entries.map(splitAroma)) });
  }
  return found;
}

/**
 * Split `vanilla:2` into vanilla and 2; custom text may contain colons.
 * @param {string} entry
 * @returns {[string, number | null]}
 */
export function splitAroma(entry) {
  const parts = entry.startsWith('~') ? null : /^(.*):([123])$/s.exec(entry);
  return parts ? [String(parts[1]), Number(parts[2])] : [entry, null];
}

/**
 * @param {NotedStep} first
 * @param {NotedStep} second
 * @param {Set<string>} there aromas noted so far that have not faded
 * @returns {Change}
 */
function change(first, second, there) {
  const before = [...first.words.keys()];
  const after = [...second.words.keys()];
  const stayed = after.filter((aroma) => first.words.has(aroma));
  const move = (/** @type {string} */ aroma) => {
    const [was, is] = [first.words.get(aroma), second.words.get(aroma)];
    return was && is ? is - was : 0;
  };
  return {
    before: first.step,
    after: second.step,
    appeared: after.filter((aroma) => !there.has(aroma)),
    faded: stayed.length > 0 ? before.filter((aroma) => !second.words.has(aroma)) : [],
    stayed,
    stronger: stayed.filter((aroma) => move(aroma) > 0),
    weaker: stayed.filter((aroma) => move(aroma) < 0),
  };
}

/**
 * @param {number} families
 * @param {number} moved
 * @returns {Counted}
 */
function counted(families, moved) {
  const rules = evidence.complexity;
  const points = families * rules.per_family + Math.min(moved, rules.changes_counted) * rules.per_change;
  if (points >= rules.manifold_from) return 'manifold';
  if (points >= rules.layered_from) return 'layered';
  return points >= rules.some_from ? 'some' : 'plain';
}
