// What this device is called in the owner's list, guessed from what the browser says of itself.
import { t } from '../../i18n.js';

const KINDS = ['iPhone', 'iPad', 'Android', 'Windows', 'Macintosh', 'Linux'];

/** @returns {string} empty where nothing can be guessed */
export function guessDeviceName() {
  const said = `${navigator.userAgent} ${/** @type {any} */ (navigator).userAgentData?.platform ?? ''}`;
  return KINDS.find((kind) => said.includes(kind)) ?? '';
}

/**
 * What the owner reads in that list; a device that gave no name is called so.
 * @param {string | null | undefined} name
 */
export function deviceText(name) {
  return name || t('settings.device_nameless');
}
