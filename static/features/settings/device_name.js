// Suggests a device name from the browser's user agent.
import { t } from '../../i18n.js';

const KINDS = ['iPhone', 'iPad', 'Android', 'Windows', 'Macintosh', 'Linux'];

/** @returns {string} empty if unknown */
export function guessDeviceName() {
  const agent = `${navigator.userAgent} ${/** @type {any} */ (navigator).userAgentData?.platform ?? ''}`;
  return KINDS.find((kind) => agent.includes(kind)) ?? '';
}

/**
 * Return the name in the device list; a nameless device gets a generic one.
 * @param {string | null | undefined} name
 */
export function deviceText(name) {
  return name || t('settings.device_nameless');
}
