// Joining a table, and leaving it.
import { newId } from '../../store/write.js';
import { join, leave } from './guest_api.js';
import { changeSeat, forgetSeat, putSeat, readSeat, readSeats } from './guest_store.js';
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
  return known?.state === 'in' && known.token !== null;
}

/** @returns {Promise<string>} the name given last time on this phone */
export async function lastName() {
  return (await readSeats())[0]?.guest.name ?? '';
}

/**
 * Join, or come back. Guest and key are stored before they are sent, so that a repeated attempt is the same guest.
 * @param {Record<string, string>} invitation
 * @param {import('./guest_api.js').Look} look
 * @param {string} name
 * @returns {Promise<string>} id of the table
 * @throws {import('./guest_api.js').GuestError}
 */
export async function joinTable(invitation, { group_tasting: table }, name) {
  const known = await readSeat(table);
  if (known?.token && known.state === 'in') return table;
  const isRepeated = known?.state === 'joining';
  if (known && !isRepeated) await forgetSeat(table);
  const seat = isRepeated ? known : newSeat(table, 'server', invitation);
  await putSeat({ ...seat, invitation, guest: { ...seat.guest, name }, opened_ms: Date.now() });
  const { token, guest } = await join(invitation, { name, guest: seat.guest.id, key: seat.key });
  await changeSeat(table, () => ({ token, guest, state: 'in' }));
  return table;
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
  const seat = known ?? newSeat(table, 'qr', {});
  const guest = { ...seat.guest, name };
  // A phone that has joined over the network stays so.
  const shown = seat.origin === 'qr' ? { view: { ...view, guest }, state: /** @type {const} */ ('in') } : {};
  await putSeat({ ...seat, ...shown, guest, opened_ms: Date.now() });
  return table;
}

/** @param {string} table @param {Seat['origin']} origin @param {Record<string, string>} invitation @returns {Seat} */
function newSeat(table, origin, invitation) {
  return {
    table,
    origin,
    invitation,
    guest: { id: newId(), name: '', number: null },
    key: randomKey(),
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
  return [...crypto.getRandomValues(new Uint8Array(KEY_BYTES))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');
}

/**
 * Leave the table for good and remove it from this phone.
 * @param {Seat} seat
 * @param {{ forget: boolean }} how forget: the server deletes the name and the answers too
 * @throws {import('./guest_api.js').GuestError} if the server could not be told; the phone forgets nothing then
 */
export async function leaveTable({ table, token, state }, how) {
  if (token && state === 'in') await leave(token, how);
  await forgetSeat(table);
  dropTyped(table);
}
