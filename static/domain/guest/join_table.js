// Joining a table, and leaving it.
import { hex } from '../../lib/hex.js';
import { plainText } from '../../lib/plain_text.js';
import { newId } from '../../store/write.js';
import { GuestError, getTable, join, leave } from './guest_api.js';
import { sendRest } from './guest_link.js';
import {
  changeSeat,
  forgetSeat,
  leaveSeat,
  putSeat,
  readFormer,
  readSeat,
  readSeats,
  replaceSeat,
} from './guest_store.js';
import { dropTyped } from './typed_words.js';

/** @typedef {import('./guest_store.js').Seat} Seat */
/** @typedef {import('./guest_store.js').Former} Former */

const KEY_BYTES = 24;

/** @param {Record<string, string>} invitation @returns {Promise<Seat | undefined>} where this phone has joined by it */
export async function seatOfInvitation({ secret, code }) {
  return (await readSeats()).find(
    ({ state, invitation }) =>
      state !== 'joining' && ((secret && invitation['secret'] === secret) || (code && invitation['code'] === code)),
  );
}

/** @param {string} table @returns {Promise<boolean>} whether this phone sits there, by whichever invitation */
export async function isSeatedAt(table) {
  const known = await readSeat(table);
  if (!known?.token || known.state !== 'over') return known?.state === 'in' && known.token !== null;
  // A table that had ended, or was deleted, may be open again.
  return getTable(known.token, null).then(
    () => true,
    (error) => !hasEnded(error),
  );
}

/** @returns {Promise<string>} the name given last time on this phone */
export async function lastName() {
  return (await readSeats())[0]?.guest.name ?? '';
}

/**
 * Join, or come back. Guest and key are stored before they are sent, so that a repeated attempt is the same guest. A
 * former seat with its answers stays until the server has answered, and the answers also after that. Who left and comes
 * back under the same name is the same guest, whom the results count once; under another name somebody else may hold
 * the phone.
 * @param {Record<string, string>} invitation
 * @param {import('./guest_api.js').Look} look
 * @param {string} name
 * @returns {Promise<string>} id of the table
 * @throws {import('./guest_api.js').GuestError}
 */
export async function joinTable(invitation, { group_tasting: table }, name) {
  const [known, left] = await Promise.all([readSeat(table), readFormer(table)]);
  if (known?.token && known.state === 'in') return table;
  const asked = guestToBe(known, left, name);
  const seat = newSeat(table, 'server', invitation, asked, name);
  if (!known) await putSeat(seat);
  else if (asked.id !== known.guest.id) await changeSeat(table, () => ({ next: asked }));
  const { token, guest } = await join(invitation, { name, guest: asked.id, key: asked.key }).catch(async (error) => {
    // The next attempt is that of another guest.
    if (hasEnded(error)) await changeSeat(table, () => ({ next: newGuest() }));
    throw error;
  });
  // Who left has left the answers behind.
  if (known?.state === 'left') await forgetSeat(table);
  const own = known && asked.id === known.guest.id ? decidedThere(known) : {};
  const taken = asked.id === left?.id ? left.taken : takenBefore(known, asked);
  await replaceSeat({ ...seat, ...own, token, guest, taken, state: 'in' });
  return table;
}

/** @param {Seat | undefined} known @param {Asked} asked @returns {string[]} glasses whose notes are in the notebook */
function takenBefore(known, { id }) {
  return known && (known.state !== 'left' || known.guest.id === id) ? known.taken : [];
}

/** @param {Seat} seat @returns {Partial<Seat>} what the same guest keeps; the server may not have the decision */
function decidedThere({ timer, consent }) {
  return consent ? { timer, consent: { ...consent, isSent: false } } : { timer };
}

/** @param {unknown} error @returns {boolean} whether the server takes nothing more from this guest */
function hasEnded(error) {
  return error instanceof GuestError && ['guest_ended', 'guest_taken'].includes(error.code);
}

/**
 * Choose as whom this phone joins: as who it was there, unless that guest was removed, or left and had another name.
 * @param {Seat | undefined} known
 * @param {Former | undefined} left
 * @param {string} name
 * @returns {Asked}
 */
function guestToBe(known, left, name) {
  if (known?.next) return known.next;
  if (known?.state === 'removed') return newGuest();
  const hasLeft = !known || known.state === 'left' || (known.state === 'joining' && known.guest.id === left?.id);
  const names = known ? [known.given ?? '', known.guest.name] : (left?.names ?? []);
  if (hasLeft && !isOneOf(names, name)) return newGuest();
  return known ? ownGuest(known) : { id: String(left?.id), key: String(left?.key) };
}

/** @param {string[]} names @param {string} name */
function isOneOf(names, name) {
  return names.some((one) => plainText(one.trim()) === plainText(name.trim()));
}

/**
 * Sit down at a table that came by QR codes; nothing is sent.
 * @param {Record<string, any>} view
 * @param {string} name
 * @returns {Promise<string>} id of the table
 */
export async function joinByCodes(view, name) {
  const table = view['table'].id;
  const [known, left] = await Promise.all([readSeat(table), readFormer(table)]);
  // To have tried over the network is not to have joined.
  const isSeated = known && known.state !== 'joining';
  const seat = isSeated ? known : newSeat(table, 'qr', {}, guestToBe(known, left, name), name);
  const guest = { ...seat.guest, name };
  // A phone that has joined over the network stays so.
  const shown = seat.origin === 'qr' ? { view: { ...view, guest }, state: /** @type {const} */ ('in') } : {};
  await putSeat({ ...seat, ...shown, guest, opened_ms: Date.now() });
  return table;
}

/** @typedef {{ id: string, key: string }} Asked */

/** @returns {Asked} */
function newGuest() {
  return { id: newId(), key: randomKey() };
}

/** @param {Seat} seat @returns {Asked} */
function ownGuest({ guest, key }) {
  return { id: guest.id, key };
}

/**
 * @param {string} table
 * @param {Seat['origin']} origin
 * @param {Record<string, string>} invitation
 * @param {Asked} asked
 * @param {string} name
 * @returns {Seat}
 */
function newSeat(table, origin, invitation, { id, key }, name) {
  return {
    table,
    origin,
    invitation,
    guest: { id, name, number: null },
    given: name,
    key,
    token: null,
    state: 'joining',
    view: {},
    etag: null,
    clock: null,
    timer: null,
    taken: [],
    opened_ms: Date.now(),
  };
}

/** Make a key by `getRandomValues`, since `randomUUID` and `subtle` are missing over plain http. */
function randomKey() {
  return hex(crypto.getRandomValues(new Uint8Array(KEY_BYTES)));
}

/**
 * Leave the table and remove it from this phone, which remembers who it was there unless all was deleted.
 * @param {Seat} seat
 * @param {{ forget: boolean }} how forget: the server deletes the name and the answers too
 * @throws {import('./guest_api.js').GuestError} if the server could not be told, or sent the answers that stay there,
 *   `guest_ended` if it takes or deletes nothing for this phone any more; the phone forgets nothing then
 */
export async function leaveTable(seat, how) {
  const { table, token, state } = seat;
  // The answers stay with the leader, who does not have them all yet.
  if (token && state === 'in' && !how.forget) await sendRest(seat);
  // Once the tasting is over the server need not know who goes, but it deletes for a week.
  if (token && (state === 'in' || (state === 'over' && how.forget)))
    await leave(token, how).catch((error) => {
      // The response to an earlier attempt may have been lost.
      if (!hasEnded(error) || (how.forget && error.reason !== 'forgotten')) throw error;
    });
  await (how.forget || state === 'removed' ? forgetSeat(table) : leaveSeat(table));
  dropTyped(table);
}
