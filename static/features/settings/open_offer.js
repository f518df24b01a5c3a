// The code that this device shows to add a phone. It stays while its owner is at another screen, and after a reload.
import { signal } from '../../lib/ui.js';

/**
 * @typedef {import('../../account/api.js').Offer & { owner: string, before?: string[] }} OpenOffer owner: whose
 *   notebook the phone will get; before: the devices that were signed in when the phone was allowed
 */

const KEPT = 'secondnose.offer';

export const openOffer = signal(read());

/** @returns {OpenOffer | null} */
function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? 'null');
  } catch {
    return null;
  }
}

/** @param {OpenOffer | null} offer */
export function setOpenOffer(offer) {
  openOffer.value = offer;
  try {
    if (offer) sessionStorage.setItem(KEPT, JSON.stringify(offer));
    else sessionStorage.removeItem(KEPT);
  } catch {
    // Without sessionStorage the offer is lost by a reload only.
  }
}
