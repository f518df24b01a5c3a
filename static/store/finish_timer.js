/**
 * When the wine was swallowed whose finish is being timed: a locked screen or a dead phone does not stop the count.
 *
 * @typedef {{ tasting: string, started_ms: number }} Running started_ms: milliseconds since 1970
 */
import { localState } from './local_state.js';

/** @param {any} stored @returns {stored is Running} */
const isRunning = (stored) => typeof stored?.tasting === 'string' && typeof stored.started_ms === 'number';

export const finishTimer = localState('finish', isRunning, { property: 'running', restored: 'by the caller' });
