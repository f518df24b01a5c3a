// What this device is called in the owner's list, guessed from what the browser says of itself.

const KINDS = ['iPhone', 'iPad', 'Android', 'Windows', 'Macintosh', 'Linux'];

/** @returns {string} empty where nothing can be guessed */
export function guessedName() {
  const said = `${navigator.userAgent} ${/** @type {any} */ (navigator).userAgentData?.platform ?? ''}`;
  return KINDS.find((kind) => said.includes(kind)) ?? '';
}
