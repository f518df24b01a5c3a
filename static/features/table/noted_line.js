// How many guests have noted something, and whether the leader has, who is not counted; never what.
import { t } from '../../i18n.js';
import { answeredAt, answeredCount, ownPlace } from '../../domain/table/flow.js';
import { hasAnswer, inOrder } from '../../domain/table/steps.js';
import { answersOf, present, visitors } from '../../domain/table/table_records.js';

/** @typedef {import('../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../store/record.js').Row} Row */

/** @param {TableRecords} table @param {string} glass at any of its steps */
export function glassNotedLine(table, glass) {
  const steps = inOrder(table.row?.fields['steps']);
  const hasNoted = (/** @type {Row} */ { id }) => {
    const answers = answersOf(table, id, glass);
    return steps.some((step) => hasAnswer(step, answers));
  };
  // Who left after noting something is counted, because the answers are still there.
  const guests = visitors(table).filter((guest) => !guest.fields['left_at'] || hasNoted(guest));
  return line(table, guests.length, answeredCount(table, glass), hasNoted);
}

/** @param {TableRecords} table @param {import('../../domain/table/flow.js').Place} place */
export function placeNotedLine(table, place) {
  return line(table, present(table).length, answeredAt(table, place), (own) => {
    const { glass, step } = ownPlace(table, place, own);
    return hasAnswer(step, answersOf(table, own.id, glass));
  });
}

/**
 * @param {TableRecords} table
 * @param {number} count of guests
 * @param {number} answered
 * @param {(own: Row) => boolean} hasNoted
 */
function line(table, count, answered, hasNoted) {
  const own = table.guests.find(({ fields }) => fields['entry'] === 'leader');
  return [
    count ? t('table.answered', { answered, count }) : t('table.nobody_joined'),
    own && t(hasNoted(own) ? 'table.own_noted' : 'table.own_not_noted'),
  ]
    .filter(Boolean)
    .join(' \u00b7 ');
}
