// The reader of labels and lists, loaded when a photo is first read.
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';

/** @typedef {import('../../label_photo/index.js').Box} Box */
/** @typedef {import('../../label_photo/index.js').Line} Line */
/** @typedef {import('../../label_photo/index.js').Proposal} Proposal */
/** @typedef {import('../../label_photo/index.js').Row} Row */

const CODES = ['no_model', 'no_room', 'offline', 'not_a_picture', 'too_large', 'unreadable', 'stopped', 'failed'];

export const loadReader = () => import('../../label_photo/index.js');

/** @param {unknown} error @returns {string} `failed` for an unknown one, such as a module that is not there */
export function errorCode(error) {
  const code = String(/** @type {{ code?: unknown } | null} */ (error)?.code ?? '');
  return CODES.includes(code) ? code : 'failed';
}

/** @param {number} bytes */
export function megabytes(bytes) {
  return t('label_photo.megabytes', { size: number(bytes / 1_000_000, bytes < 10_000_000 ? 1 : 0) });
}
