import { normalCdf } from './score.js';

/**
 * Predicts how a company will like a bottle, from the score of each person. Port of `company_score` in
 * tests/reference/palate_company.py; shared cases in tests/vectors/company_score.json.
 *
 * @typedef {import('./score.js').Score} Score
 * @typedef {import('./score.js').Reason} Reason
 * @typedef {{ id: string, score: Score }} Member
 * @typedef {{ id: string, mean: number, p_like: number, because: Reason | null }} Doubtful
 * @typedef {{ mean: number, least: { id: string, mean: number }, expected_least: number, all_like: number, doubtful:
 *   Doubtful[] }} CompanyScore mean expected liking; the person who is expected to like it least; expected liking of
 *   whoever will like it least; chance that all like it; those who more likely will not, least likely first
 */

const DOUBTFUL_BELOW = 0.5;
const LOW = 1;
const HIGH = 9;
const STEPS = 32;

/**
 * Score a wine for several people, taking their answers as independent, given their palates.
 * @param {readonly Member[]} members
 * @returns {CompanyScore | null} null for nobody
 */
export function companyScore(members) {
  const [first] = members;
  if (!first) return null;
  const least = members.reduce((low, each) => (each.score.mean < low.score.mean ? each : low), first);
  const doubtful = members.flatMap(({ id, score: { mean, p_like, reasons } }) => {
    const because = reasons.find(({ direction }) => direction === 'lowers') ?? null;
    return p_like < DOUBTFUL_BELOW ? [{ id, mean, p_like, because }] : [];
  });
  return {
    mean: members.reduce((sum, { score }) => sum + score.mean, 0) / members.length,
    least: { id: least.id, mean: least.score.mean },
    expected_least: expectedLeast(members),
    all_like: members.reduce((product, { score }) => product * score.p_like, 1),
    doubtful: doubtful.sort((a, b) => a.p_like - b.p_like),
  };
}

/**
 * Integrate the chance that everybody's liking is above a point, over the scale. This is below the least of the
 * expected likings, because with uncertain forecasts nobody knows who will like it least; simulated companies are
 * better served by it (python -m tests.bench.company).
 * @param {readonly Member[]} members
 */
function expectedLeast(members) {
  const step = (HIGH - LOW) / STEPS;
  let total = LOW;
  for (let at = 0; at < STEPS; at += 1) {
    const point = LOW + (at + 0.5) * step;
    total += step * members.reduce((share, { score: { mean, sd } }) => share * normalCdf((mean - point) / sd), 1);
  }
  return total;
}
