// JAR rating below a scale: too little, just right, too much. A second tap clears it.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/**
 * @param {{ label: string, value: number | null | undefined, onChange: (value: number | null) =>
 *   void }} props label: name of the scale
 */
export function JarButtons({ label, value, onChange }) {
  const marks = /** @type {const} */ ([
    [-1, 'parts.too_little'],
    [0, 'parts.just_right'],
    [1, 'parts.too_much'],
  ]);
  return html`<div class="just-right" role="radiogroup" aria-label=${t('parts.just_right_of', { name: label })}>
    ${marks.map(
      ([mark, key]) => html`<button type="button" role="radio" aria-checked=${value === mark}
        onClick=${() => onChange(value === mark ? null : mark)}>
      ${t(key)}
    </button>`,
    )}
  </div>`;
}
