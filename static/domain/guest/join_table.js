// Joining a table, and leaving it.
import { hex } from '../../lib/hex.js';
import { newId } from '../../store/write.js';
import { GuestError, getTable, join, leave } from './guest_api.js';
import { sendRest } from './guest_link.js';
import { changeSeat, forgetSeat, putSeat, readSeat, readSeats, replaceSeat } from './guest_store.js';
import { dropTyped } from './typed_words.js';

/** @typedef {import('./guest_store.js').Seat} Seat */

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
 * former seat with its answers stays until the server has answered, and the answers also after that.
 * @param {Record<string, string>} invitation
 * @param {import('./guest_api.js').Look} look
 * @param {string} name
 * @returns {Promise<string>} id of the table
 * @throws {import('./guest_api.js').GuestError}
 */
export async function joinTable(invitation, { group_tasting: table }, name) {
  const known = await readSeat(table);
  if (known?.token && known.state === 'in') return table;
  const asked = known?.next ?? (known && !isFormerGuest(known) ? ownGuest(known) : newGuest());
  const seat = newSeat(table, 'server', invitation, asked, name);
  if (known) await changeSeat(table, () => ({ next: asked }));
  else await putSeat(seat);
  const { token, guest } = await join(invitation, { name, guest: asked.id, key: asked.key }).catch(async (error) => {
    // The next attempt is that of another guest.
    if (hasEnded(error)) await changeSeat(table, () => ({ next: newGuest() }));
    throw error;
  });
  // Who left has left the answers behind.
  const former = known?.state === 'left' ? undefined : known;
  if (known && !former) await forgetSeat(table);
  const own = former && asked.id === former.guest.id ? decidedThere(former) : {};
  await replaceSeat({ ...seat, ...own, token, guest, taken: former?.taken ?? [], state: 'in' });
  return table;
}

/** @param {Seat} seat @returns {Partial<Seat>} what the same guest keeps; the server may not have the decision */
function decidedThere({ timer, consent }) {
  return consent ? { timer, consent: { ...consent, isSent: false } } : { timer };
}

/** @param {unknown} error @returns {boolean} whether the server takes nothing more from this guest */
function hasEnded(error) {
  return error instanceof GuestError && ['guest_ended', 'guest_taken'].includes(error.code);
}

/** @param {Seat} seat @returns {boolean} whether the server knew the guest, and does not any more */
function isFormerGuest({ origin, state }) {
  return origin === 'server' && state !== 'joining';
}

/**
 * Sit down at a table that came by QR codes; nothing is sent.
 * @param {Record<string, any>} view
 * @param {string} name
 * @returns {Promise<string>} id of the table
 */
export async function joinByCodes(view, name) {
  const table = view['table'].id;
  const known = await readSeat(table);
  // To have tried over the network is not to have joined.
  const isSeated = known && known.state !== 'joining';
  const seat = isSeated ? known : newSeat(table, 'qr', {}, known ? ownGuest(known) : newGuest(), name);
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

/** `randomUUID` and `subtle` are missing over plain http; `getRandomValues` is not. */
function randomKey() {
  return hex(crypto.getRandomValues(new Uint8Array(KEY_BYTES)));
}

/**
 * Leave the table for good and remove it from this phone.
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
  await forgetSeat(table);
  dropTyped(table);
}
