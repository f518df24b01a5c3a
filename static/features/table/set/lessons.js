// Tables that come ready: a first lesson of six glasses, and one of a single glass.
import { t } from '../../../i18n.js';
import { GROUP_STEPS } from '../../../domain/table/steps.js';

/** @typedef {{ id: 'lesson_six' | 'lesson_one', glasses: number, labels_hidden: boolean }} Lesson */

/** @type {Lesson[]} */
export const LESSONS = [
  { id: 'lesson_one', glasses: 1, labels_hidden: false },
  { id: 'lesson_six', glasses: 6, labels_hidden: true },
];

/** Which steps are asked; any other choice is the leader's own. */
export const STEP_SETS = {
  full: GROUP_STEPS,
  short: ['first_nose', 'sip_1', 'sip_2', 'verdict'],
  liking: ['verdict'],
};

export function usualFields() {
  return { labels_hidden: true, names_shown: true, ask_guesses: true, steps: STEP_SETS.full };
}

/** @param {Lesson} lesson @returns {Record<string, any>} with the leader's notes: what to buy, what to say */
export function lessonFields({ id, labels_hidden }) {
  return {
    ...usualFields(),
    name: t(`table.${id}`),
    labels_hidden,
    ask_guesses: labels_hidden,
    words: t(`table.${id}_notes`),
  };
}
