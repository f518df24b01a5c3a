// A shared tasting or visit as plain text.
import { stepLines } from '../tasting/step_parts.js';

/** @typedef {import('./share_data.js').SharedTasting} SharedTasting */
/** @typedef {import('./share_data.js').SharedVisit} SharedVisit */

/** @param {SharedTasting | SharedVisit} shared */
export function shareText(shared) {
  if (!('tastings' in shared)) return tastingText(shared);
  const head = [[shared.title, ...shared.lines].join('\n'), shared.words].filter(Boolean).join('\n\n');
  const wines = shared.tastings.map((tasting, index) => `${index + 1}. ${tastingText(tasting)}`);
  return [head, ...wines, shared.triangle.join('\n')].filter(Boolean).join('\n\n\n');
}

/** @param {SharedTasting} shared the verdict and the words come first */
function tastingText({ title, lines, liking, words, steps }) {
  return [
    [title, ...lines],
    [liking, words],
    ...steps.map((step) => (step.id === 'verdict' ? stepLines(step) : [step.title, ...stepLines(step)])),
  ]
    .map((block) => block.filter(Boolean).join('\n'))
    .filter(Boolean)
    .join('\n\n');
}
