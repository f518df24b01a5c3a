// The owner's settings, and the one way in which this room changes them.
import { live, settings, settingsId } from '../../book/read.js';
import { save } from '../../book/write.js';

/** @typedef {import('../../book/record.js').Fields} Fields */

const row = live(settings, null);

/** @returns {Fields} so far as they are known yet */
export function own() {
  return row.value?.fields ?? {};
}

/** @param {Fields} fields */
export async function keep(fields) {
  await save('settings', settingsId, fields);
}

/** @param {string} field @returns {(value: unknown) => void} */
export function keeper(field) {
  return (value) => { keep({ [field]: value }); };
}
