// The code that this device shows to add a phone. It stays while its owner is at another screen, and after a reload.
import { sessionSignal } from './session_signal.js';

/**
 * @typedef {import('../../account/api.js').Offer & { owner: string, before?: string[] }} OpenOffer owner: whose
 *   notebook the phone will get; before: the devices that were signed in when the phone was allowed
 */

export const openOffer = sessionSignal('secondnose.offer', /** @type {OpenOffer | null} */ (null));
