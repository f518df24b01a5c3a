// The aromas of an earlier step, each added again with one tap.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { aromaIds, parseEntry, remove } from './entry.js';
import { aromaText } from './chips.js';

/**
 * @param {{ earlier: string[] | null | undefined, noted: string[] | null | undefined, onChange: (change: (entries:
 *   string[] | null | undefined) => string[] | null) => void }} props
 */
export function PersistedWords({ earlier, noted, onChange }) {
  if (!earlier?.length) return null;
  const now = aromaIds(noted);
  const tap = (/** @type {string} */ text) => {
    const { aroma } = parseEntry(text);
    onChange((entries) => (aromaIds(entries).includes(aroma) ? remove(entries, aroma) : [...(entries ?? []), text]));
  };
  return html`<div class="field" role="group" aria-label=${t('pour.still_there')}>
  <span class="label">${t('pour.still_there')}
  </span>
    <div class="choices">${earlier.map((text) => {
      const { aroma } = parseEntry(text);
      return html`<button type="button" class="choice" key=${aroma} aria-pressed=${now.includes(aroma)}
          onClick=${() => tap(text)}>
        ${aromaText(aroma)}
      </button>`;
    })}</div></div>`;
}
