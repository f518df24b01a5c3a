// What is said after a copy was added, or could not be.
import { AccountError } from '../../account/api.js';
import { t } from '../../i18n.js';
import { accountErrorText } from './account_error_text.js';

/** @typedef {import('../../archive/read_archive.js').Preview} Preview */

/**
 * @param {Preview | null} preview what was to be added
 * @param {import('../../account/api.js').ImportResult} result
 */
export function doneText(preview, { records, photos, skipped = [] }) {
  const [added, removed] = [preview?.added.length ?? 0, preview?.removed.length ?? 0];
  if (added) return t('settings.import_added', { count: added });
  if (records + photos) return t('settings.import_done', { count: records + photos });
  // A copy with skipped records is not all here already.
  if (skipped.length) return '';
  return removed ? t('settings.import_nothing_deleted', { count: removed }) : t('settings.import_nothing');
}

/**
 * @param {unknown} problem
 * @returns {string}
 * @throws any other error
 */
export function importErrorText(problem) {
  // A part may have been added before the connection was lost.
  if (problem instanceof AccountError && problem.code === 'no_network') return t('settings.import_no_network');
  return accountErrorText(problem);
}
