// The claim of a phone that waits to be added. It outlasts a reload, until the phone is in or somebody cancels.
import { sessionSignal } from './session_signal.js';

/** @typedef {{ code: string, claim: string }} Claim */

export const pairingClaim = sessionSignal('secondnose.claim', /** @type {Claim | null} */ (null));
