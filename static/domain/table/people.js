// Guests who agree to it become people of the notebook, whose taste is learned from their answers.
import { timestamp } from '../../lib/datetime.js';
import { plainText } from '../../lib/plain_text.js';
import { referencesToBottle } from '../../store/bottle_queries.js';
import { allOf, allWhere, bottlesByIds, ofGroupTasting, record } from '../../store/queries.js';
import { commitEdits, newId, removeMany, restoreMany, saveMany } from '../../store/write.js';
import { isCarried } from './person_document.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../../store/write.js').Named} Named */

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
 * Link a guest who agreed to a person: to the one of that name who came before, or to a new one. Nobody sits twice at
 * one table at a time, so who another guest was meanwhile must be somebody else.
 * @param {Row} guest
 * @returns {Promise<() => Promise<unknown>>} takes it back
 * @throws {Error} if the guest has not agreed on the own phone
 */
export async function rememberGuest(guest) {
  if (hasToAgree(guest)) throw new Error('not_agreed');
  const name = String(guest.fields['name'] ?? '').trim();
  const known = await personNamed(name, await peopleOfOthers(guest));
  const id = known?.id ?? newId();
  const person = {
    kind: /** @type {const} */ ('person'),
    id,
    fields: { name, agreed_at: guest.fields['agreed_at'] ?? timestamp() },
  };
  await saveMany([...(known ? [] : [person]), { kind: 'guest', id: guest.id, fields: { person: id } }]);
  return () =>
    commitEdits([
      { kind: 'guest', id: guest.id, fields: { person: null } },
      ...(known ? [] : [{ kind: person.kind, id, deleted: true }]),
    ]);
}

/**
 * Return the ids of the people who the guests beside this one are. Who left and came again with another phone is a
 * guest twice.
 * @param {Row} guest
 * @returns {Promise<Set<string>>}
 */
async function peopleOfOthers(guest) {
  const guests = await ofGroupTasting('guest', guest.fields['group_tasting']);
  const others = guests.filter((one) => one.id !== guest.id && !one.fields['removed_at'] && areTogether(one, guest));
  return new Set(others.map(({ fields }) => fields['person']));
}

/** Tell whether two guests sat at their table at the same time. @param {Row} one @param {Row} other */
function areTogether({ fields: one }, { fields: other }) {
  return !leftBefore(one, other) && !leftBefore(other, one);
}

/**
 * Tell whether a guest left before the other came. Only a guest with the own phone and a network joins when coming.
 * @param {Record<string, any>} one
 * @param {Record<string, any>} other
 */
function leftBefore({ left_at: left }, { joined_at: joined, entry }) {
  return entry === 'phone' && Boolean(left && joined && Date.parse(left) <= Date.parse(joined));
}

/**
 * Find a person by the name they have, or else by one under which only they were a guest before.
 * @param {string} name
 * @param {Set<string>} [others] ids of people who it is not
 * @returns {Promise<Row | undefined>}
 */
export async function personNamed(name, others = new Set()) {
  const people = (await agreedPeople()).filter(({ id }) => !others.has(id));
  const isSame = (/** @type {Row} */ { fields }) => plainText(fields['name'] ?? '') === plainText(name);
  const now = people.find(isSame);
  if (now) return now;
  const before = new Set((await allOf('guest')).filter(isSame).map(({ fields }) => fields['person']));
  const called = people.filter(({ id }) => before.has(id));
  return called.length === 1 ? called[0] : undefined;
}

/**
 * Forget what was learned of a person.
 * @param {Named[]} gone the person and what goes too
 * @returns {Promise<() => Promise<unknown>>} takes it back
 */
export async function forgetPerson(gone) {
  await removeMany(gone);
  return () => restoreMany(gone);
}

/**
 * Return what goes with a person. The answers stay with the tables that were held with this notebook; what came only
 * with the person, from another notebook, goes too.
 * @param {string} id
 * @returns {Promise<Named[]>}
 */
export async function goneWithPerson(id) {
  const guests = await allWhere('guest', 'person', id);
  const carried = (await Promise.all(guests.map(carriedWith))).flat();
  const bottles = await bottlesOnlyOf(carried.filter(({ kind }) => kind === 'glass'));
  return [{ kind: 'person', id }, ...[...carried, ...bottles].map((row) => ({ kind: row.kind, id: row.id }))];
}

/**
 * Return the records of a table that came with the guest from another notebook, as `readPersonDocument` makes them.
 * Its table and glasses stay while another person of it is here.
 * @param {Row} guest
 * @returns {Promise<Row[]>} empty for a table that was held with this notebook
 */
async function carriedWith(guest) {
  const id = guest.fields['group_tasting'];
  const table = guest.fields['entry'] === 'qr' ? await record('group_tasting', id) : undefined;
  if (!table || table.gone || !isCarried(table)) return [];
  const [guests, glasses, sheets] = await Promise.all([
    ofGroupTasting('guest', id),
    ofGroupTasting('glass', id),
    ofGroupTasting('sheet', id),
  ]);
  const isShared = guests.some((other) => other.id !== guest.id);
  return [
    guest,
    ...sheets.filter(({ fields }) => fields['guest'] === guest.id),
    ...(isShared ? [] : [table, ...glasses]),
  ];
}

/**
 * Return the bottles of these glasses to which nothing else in the notebook refers.
 * @param {Row[]} glasses
 * @returns {Promise<Row[]>}
 */
async function bottlesOnlyOf(glasses) {
  const here = new Set(glasses.map(({ id }) => id));
  const bottles = [...(await bottlesByIds(glasses.map(({ fields }) => fields['bottle']))).values()];
  const references = await Promise.all(bottles.map(({ id }) => referencesToBottle(id)));
  return bottles.filter((row, at) => !row.gone && references[at]?.every(({ id }) => here.has(id)));
}
