// The owner's settings, and the one way in which this room changes them.
import { effect, signal } from '../../lib/ui.js';
import { liveSignal, settings, settingsId } from '../../store/queries.js';
import { save } from '../../store/write.js';

/** @typedef {import('../../store/record.js').Fields} Fields */

const row = liveSignal(settings, null);
/** What was just said and is not yet read back: a key held down must not wait for the book. */
const said = signal(/** @type {Fields} */ ({}));

/** @returns {Fields} so far as they are known yet */
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
