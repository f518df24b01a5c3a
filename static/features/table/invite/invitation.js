// Asks the server for the invitation of a table.
import { apiRequest, AccountError } from '../../../account/api.js';
import { localState } from '../../../store/local_state.js';
import { syncNow } from '../../../sync/index.js';

/** @typedef {{ code: string, secret: string, path: string, keeps_days: number | null }} Invitation */

/** Tables that are remembered; older ones are over. */
const TABLES = 20;

const closed = localState(
  'closed_invitations',
  /** @returns {stored is string[]} */ (/** @type {unknown} */ stored) => Array.isArray(stored),
  { restored: 'by the caller' },
);

/** @param {string} id @param {boolean} isClosed */
function noteClosed(id, isClosed) {
  const others = (closed.peek() ?? []).filter((one) => one !== id);
  return closed.set((isClosed ? [id, ...others] : others).slice(0, TABLES));
}

/**
 * Get the open invitation, or a new one; none once it was closed, because the leader did not ask for one. The table is
 * sent first, because the server invites only to a table it has.
 * @param {string} id
 * @returns {Promise<{ invitation: Invitation | null, problem: 'offline' | 'sign_in' | 'refused' | 'closed' | null }>}
 */
export async function invite(id) {
  await closed.restore();
  if (closed.peek()?.includes(id)) return { invitation: null, problem: 'closed' };
  const end = await syncNow();
  if (end === 'signin' || end === 'apart') return { invitation: null, problem: 'sign_in' };
  try {
    return { invitation: await apiRequest('POST', `/api/group-tastings/${id}/invitation`), problem: null };
  } catch (error) {
    const { code, status } = error instanceof AccountError ? error : { code: 'no_network', status: 0 };
    // A table that could not be sent is unknown to the server.
    if (code === 'no_network' || end === 'waiting') return { invitation: null, problem: 'offline' };
    return { invitation: null, problem: status === 401 || code === 'other_owner' ? 'sign_in' : 'refused' };
  }
}

/** Invite again after it was closed. @param {string} id */
export async function inviteAgain(id) {
  await noteClosed(id, false);
  return invite(id);
}

/** End joining. @param {string} id @returns {Promise<boolean>} whether the server did it */
export async function closeInvitation(id) {
  try {
    await apiRequest('DELETE', `/api/group-tastings/${id}/invitation`);
  } catch {
    return false;
  }
  await noteClosed(id, true);
  return true;
}

/**
 * Remove a guest on the server too, which ends the guest's access at once.
 * @param {string} id
 * @param {string} guest
 */
export function sendAway(id, guest) {
  return apiRequest('DELETE', `/api/group-tastings/${id}/guests/${guest}`).catch(() => undefined);
}

/** Tell whether the address of this page means nothing to another phone. */
export function isLocalOnly() {
  return ['localhost', '127.0.0.1', '[::1]'].includes(location.hostname);
}
