// Texts for account errors.
import { AccountError } from '../../account/api.js';
import { hasMessage, t } from '../../i18n.js';

/**
 * @param {unknown} error
 * @returns {string}
 * @throws any other error
 */
export function accountErrorText(error) {
  if (!(error instanceof AccountError)) throw error;
  const key = `settings.trouble_${error.code}`;
  if (hasMessage(key) || hasMessage(`${key}.other`)) return t(key, { count: error.wait_s });
  return t('settings.trouble');
}
