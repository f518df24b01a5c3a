/**
 * Passkeys: adding, listing and removing them, and signing in with one.
 *
 * @typedef {{ id: string, name: string, host: string, made_at: string, last_used: string | null }} Passkey
 */
import { AccountError, afterSignIn, apiRequest } from './api.js';

const IP_ADDRESS = /^(\d+\.){3}\d+$|^\[/;

/** @returns {boolean} whether the browser offers passkeys here: over https or on localhost, and under a name */
export function canUsePasskeys() {
  return 'PublicKeyCredential' in globalThis && !IP_ADDRESS.test(location.hostname);
}

/** @returns {Promise<Passkey[]>} @throws {AccountError} */
export async function listPasskeys() {
  return (await apiRequest('GET', '/api/passkeys')).passkeys;
}

/** @param {string} name @returns {Promise<Passkey>} @throws {AccountError} */
export async function addPasskey(name) {
  const { public_key: told } = await apiRequest('POST', '/api/passkeys/options');
  const publicKey = {
    ...told,
    challenge: toBytes(told.challenge),
    user: { ...told.user, id: toBytes(told.user.id) },
    excludeCredentials: told.excludeCredentials.map(withBytes),
  };
  const made = await fromBrowser('stopped', () => navigator.credentials.create({ publicKey }));
  const { clientDataJSON, attestationObject } = made.response;
  const given = { client_data: toText(clientDataJSON), attestation: toText(attestationObject) };
  return apiRequest('POST', '/api/passkeys', { id: made.id, ...given, name });
}

/** @param {string} id @param {string} name @throws {AccountError} */
export async function renamePasskey(id, name) {
  await apiRequest('POST', `/api/passkeys/${id}/name`, { name });
}

/** @param {string} id @throws {AccountError} */
export async function removePasskey(id) {
  await apiRequest('DELETE', `/api/passkeys/${id}`);
}

/**
 * @param {string} deviceName
 * @returns {Promise<'here' | 'beside'>} see `afterSignIn`
 * @throws {AccountError}
 */
export async function signInWithPasskey(deviceName) {
  const { public_key: told } = await apiRequest('POST', '/api/passkeys/sign-in/options');
  const publicKey = { ...told, challenge: toBytes(told.challenge), allowCredentials: [] };
  const shown = await fromBrowser('passkey_stopped', () => navigator.credentials.get({ publicKey }));
  const { clientDataJSON, authenticatorData, signature, userHandle } = shown.response;
  const { owner } = await apiRequest('POST', '/api/passkeys/sign-in', {
    id: shown.id,
    client_data: toText(clientDataJSON),
    authenticator_data: toText(authenticatorData),
    signature: toText(signature),
    user_handle: toText(userHandle),
    device_name: deviceName,
  });
  return afterSignIn(owner);
}

/**
 * @param {string} stopped the code for a prompt that was closed, or that found no passkey: browsers do not tell which
 * @param {() => Promise<any>} request
 * @returns {Promise<any>}
 * @throws {AccountError}
 */
async function fromBrowser(stopped, request) {
  try {
    return await request();
  } catch (error) {
    const { name } = /** @type {Error} */ (error);
    if (name === 'NotAllowedError' || name === 'AbortError') throw new AccountError(stopped);
    throw new AccountError(name === 'InvalidStateError' ? 'passkey_added_before' : 'passkey_unable');
  }
}

/** @param {{ id: string, type: string }} credential */
function withBytes(credential) {
  return { ...credential, id: toBytes(credential.id) };
}

/** @param {string} text base64url */
function toBytes(text) {
  return Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (letter) => letter.charCodeAt(0));
}

/** @param {ArrayBuffer | null} bytes @returns {string} base64url */
function toText(bytes) {
  const letters = Array.from(new Uint8Array(bytes ?? []), (byte) => String.fromCharCode(byte)).join('');
  return btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}
