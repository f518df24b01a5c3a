// The errors of the label reader.

/**
 * @typedef {'no_model' | 'no_room' | 'offline' | 'not_a_picture' | 'too_large' | 'unreadable' | 'stopped' | 'failed'}
 *   Code
 */

/**
 * `code`: no_model (the model is not stored), no_room (storage or memory is full), offline (the model could not be
 * fetched), not_a_picture, too_large (the phone cannot decode it), unreadable (no text in it), stopped (the signal was
 * aborted), failed (anything else, such as a worker that ended).
 */
export class LabelPhotoError extends Error {
  /** @param {Code} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'LabelPhotoError';
    this.code = code;
  }
}

/** @param {AbortSignal | undefined} signal */
export function throwIfStopped(signal) {
  if (signal?.aborted) throw new LabelPhotoError('stopped', signal.reason);
}
