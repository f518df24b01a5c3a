// Toggle buttons for aromas with their strength, and the list of noted aromas with remove buttons.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { keepInPlace } from '../../components/layout/keep_in_place.js';
import { customText, parseEntry } from './entry.js';

/** @param {string} aroma an aroma id or a custom aroma */
export function aromaText(aroma) {
  return aroma.startsWith('~') ? customText(aroma) : t(`aroma.${aroma}`);
}

/** @param {{ aroma: string, noted: string[] | null | undefined, onTap: (word: string) => void }} props */
export function AromaChip({ aroma, noted, onTap }) {
  const entry = (noted ?? []).map(parseEntry).find((each) => each.aroma === aroma);
  const press = (/** @type {Event} */ { currentTarget }) => {
    // The list of noted aromas above may get another line.
    keepInPlace(currentTarget);
    onTap(aroma);
  };
  return html`<button type="button" class="choice aroma" aria-pressed=${Boolean(entry)} onClick=${press}>
  <span>${aromaText(aroma)}
  </span>
  <${GradeMark} strength=${entry?.strength ?? null} />
  </button>`;
}

/**
 * @param {{ noted: string[] | null | undefined, onTap: (word: string) => void, onRemove: (word: string) => void }}
 *   props
 */
export function ChipList({ noted, onTap, onRemove }) {
  if (!noted?.length) return html`<p class="soft small nothing-noted">${t('pour.no_words_yet')}</p>`;
  const entries = noted.map(parseEntry);
  const isGraded = entries.every(({ own }) => own) || entries.some(({ strength }) => strength);
  return html`<ul class="noted" aria-label=${t('pour.noted_words')}>${entries.map(
    ({ aroma, strength, own }) => html`<li key=${aroma}>
    <button type="button" class="noted-word" onClick=${() => onTap(aroma)} disabled=${own}>
    <span class="name">${aromaText(aroma)}
    </span>
    <${GradeMark} strength=${strength} isNamed />
    </button>
    <button type="button" class="remove" aria-label=${t('pour.take_off', { word: aromaText(aroma) })}
        onClick=${() => onRemove(aroma)}>
    <span aria-hidden="true">${'\u00d7'}
    </span>
    </button>
  </li>`,
  )}</ul>
  ${!isGraded && html`<p class="soft small nothing-noted">${t('pour.tap_again')}</p>`}`;
}

/** @param {{ strength: number | null, isNamed?: boolean }} props isNamed: show the word besides the bars */
export function GradeMark({ strength, isNamed = false }) {
  if (!strength) return null;
  return html`<span class="strength">
  <span aria-hidden="true">${Array.from({ length: strength }, () => html`<i></i>`)}
  </span>
  ${
    isNamed
      ? html`<span class="soft small">${t(`book.strength_${strength}`)}</span>`
      : html`<span class="unseen">${t(`pour.strength_${strength}`)}</span>`
  }
  </span>`;
}
