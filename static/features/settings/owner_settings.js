// Reads and writes the owner's settings.
import { effect, signal } from '../../lib/ui.js';
import { liveSignal, settings, settingsId } from '../../store/queries.js';
import { save } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Fields} Fields */

const row = liveSignal(settings, null);
/** Values just set and not read back yet, so that a held key does not wait for the database. */
const pending = signal(/** @type {Fields} */ ({}));

/** @returns {Fields} empty until they are loaded */
export function ownerSettings() {
  return { ...row.value?.fields, ...pending.value };
}

/** @param {Fields} fields */
export async function saveSettings(fields) {
  pending.value = { ...pending.value, ...fields };
  await save('settings', settingsId, fields).catch((error) => {
    dropPending(Object.keys(fields));
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
function dropPending(fields) {
  if (fields.length)
    pending.value = Object.fromEntries(Object.entries(pending.value).filter(([field]) => !fields.includes(field)));
}

effect(() => {
  const kept = row.value?.fields ?? {};
  dropPending(Object.keys(pending.value).filter((field) => (kept[field] ?? null) === (pending.value[field] ?? null)));
});
