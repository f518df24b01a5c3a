// Guests who agree to it become people of the notebook, whose taste is learned from their answers.
import { timestamp } from '../../lib/datetime.js';
import { plainText } from '../../lib/plain_text.js';
import { allOf } from '../../store/queries.js';
import { newId, removeMany, restoreMany, save, saveMany } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** Return the people who agreed, in the order of their names. @returns {Promise<Row[]>} */
export async function agreedPeople() {
  const rows = (await allOf('person')).filter(({ fields }) => fields['agreed_at'] && fields['name']);
  return rows.sort((one, other) => one.fields['name'].localeCompare(other.fields['name']));
}

/**
 * Tell whether a guest has to agree on the own phone and has not; the leader asks the others aloud.
 * @param {Pick<Row, 'fields'>} guest
 */
export function hasToAgree({ fields }) {
  return ['phone', 'qr'].includes(fields['entry']) && !fields['agreed_at'];
}

/**
 * Link a guest who agreed to a person: to the one of that name who came before, or to a new one.
 * @param {Row} guest
 * @returns {Promise<() => Promise<unknown>>} takes it back
 * @throws {Error} if the guest has not agreed on the own phone
 */
export async function rememberGuest(guest) {
  if (hasToAgree(guest)) throw new Error('not_agreed');
  const name = String(guest.fields['name'] ?? '').trim();
  const known = (await agreedPeople()).find(({ fields }) => plainText(fields['name']) === plainText(name));
  const id = known?.id ?? newId();
  const person = {
    kind: /** @type {const} */ ('person'),
    id,
    fields: { name, agreed_at: guest.fields['agreed_at'] ?? timestamp() },
  };
  await saveMany([...(known ? [] : [person]), { kind: 'guest', id: guest.id, fields: { person: id } }]);
  return async () => {
    await save('guest', guest.id, { person: null });
    if (!known) await removeMany([{ kind: 'person', id }]);
  };
}

/**
 * Forget what was learned of a person: the guest's answers stay with their tables.
 * @param {string} id
 * @returns {Promise<() => Promise<unknown>>} takes it back
 */
export async function forgetPerson(id) {
  await removeMany([{ kind: 'person', id }]);
  return () => restoreMany([{ kind: 'person', id }]);
}
