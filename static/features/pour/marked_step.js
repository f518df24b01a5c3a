// Leads to the entry that keeps a note from being saved, where the page does not show it.
import { navigate } from '../../router.js';
import { currentPour, errors } from '../../domain/pour/current_pour.js';
import { stepFields, steps } from '../../domain/pour/tasting_steps.js';

/** Show the first step with an entry that cannot be saved, unless this page has one. */
export function showMarked() {
  if (document.querySelector('main [aria-invalid="true"]')) return;
  const isMarked = (/** @type {'bottle' | 'tasting'} */ side, /** @type {string} */ step) =>
    stepFields[step]?.[side].some((field) => errors.peek()[`${side}.${field}`]);
  const step = steps.find((each) => isMarked('bottle', each) || isMarked('tasting', each));
  if (step) navigate(`/pour/${currentPour.peek()?.tasting}/${step}`);
}
