// Reads and writes the owner's settings.
import { effect, signal } from '../../lib/ui.js';
import { liveSignal, settings, settingsId } from '../../store/queries.js';
import { save } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Fields} Fields */

const row = liveSignal(settings, null);
/** Values just set and not read back yet, so that a held key does not wait for the database. */
const said = signal(/** @type {Fields} */ ({}));

/** @returns {Fields} empty until they are loaded */
export function ownerSettings() {
  return { ...row.value?.fields, ...said.value };
}

/** @param {Fields} fields */
export async function saveSettings(fields) {
  said.value = { ...said.value, ...fields };
  await save('settings', settingsId, fields).catch((error) => {
    forget(Object.keys(fields));
    throw error;
  });
}

/** @param {string} field @returns {(value: unknown) => void} */
export function setter(field) {
  return (value) => {
    saveSettings({ [field]: value });
  };
}

/** @param {string[]} fields */
function forget(fields) {
  if (fields.length)
    said.value = Object.fromEntries(Object.entries(said.value).filter(([field]) => !fields.includes(field)));
}

effect(() => {
  const kept = row.value?.fields ?? {};
  forget(Object.keys(said.value).filter((field) => (kept[field] ?? null) === (said.value[field] ?? null)));
});
