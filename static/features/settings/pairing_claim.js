// The claim of a phone that waits to be added. It outlasts a reload, until the phone is in or somebody cancels.
import { signal } from '../../lib/ui.js';

/** @typedef {{ code: string, claim: string }} Claim */

const KEPT = 'secondnose.claim';

export const pairingClaim = signal(read());

/** @returns {Claim | null} */
function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? 'null');
  } catch {
    return null;
  }
}

/** @param {Claim | null} claim */
export function setPairingClaim(claim) {
  pairingClaim.value = claim;
  try {
    if (claim) sessionStorage.setItem(KEPT, JSON.stringify(claim));
    else sessionStorage.removeItem(KEPT);
  } catch {
    // Without sessionStorage the claim is lost by a reload only.
  }
}
