// The steps of a led tasting with the fields of a sheet that each asks for.
import file from '../../spec/group_steps.json' with { type: 'json' };
import { areLabelsHidden } from './covered.js';

/** @typedef {Record<string, any>} Fields */

const fieldsByStep = new Map(file.steps.map(({ id, fields }) => [id, fields]));

export const GROUP_STEPS = [...fieldsByStep.keys()];

/** @param {string} step @returns {string[]} */
export function fieldsOfStep(step) {
  return fieldsByStep.get(step) ?? [];
}

/**
 * Put steps in the order of tasting.
 * @param {string[] | null | undefined} steps as stored; all if there are none
 */
export function inOrder(steps) {
  const asked = GROUP_STEPS.filter((step) => steps?.includes(step));
  return asked.length ? asked : GROUP_STEPS;
}

/** @param {string} step @returns {string} the field in which a guest says to be done with a step */
export function doneField(step) {
  return `done_${step}`;
}

/** @param {Fields} fields of a sheet @returns {boolean} to be done with a step is no answer */
export function hasAnyAnswer(fields) {
  return GROUP_STEPS.some((step) => hasAnswer(step, fields));
}

/** @param {string} step @param {Fields} fields of a sheet */
export function hasAnswer(step, fields) {
  return fieldsOfStep(step).some((field) => fields[field] !== null && fields[field] !== undefined);
}

/** Tell whether there is something to guess, and a step to guess in. @param {Fields} head of the group tasting */
export function canGuess(head) {
  return areLabelsHidden(head) && inOrder(head['steps']).includes('verdict');
}

/** Tell whether guests guess before the label is uncovered. @param {Fields} head of the group tasting */
export function areGuessesAsked(head) {
  return canGuess(head) && head['ask_guesses'] !== false;
}
