/**
 * Which tasting is open, and at which step: a restart opens the same page.
 *
 * @typedef {{ tasting: string, step: string }} OpenPour
 */
import { localState } from './local_state.js';

/** @param {any} stored @returns {stored is OpenPour} */
const isOpenPour = (stored) => typeof stored?.tasting === 'string' && typeof stored.step === 'string';

export const openPour = localState('open_pour', isOpenPour, { property: 'open', restored: 'by the caller' });
