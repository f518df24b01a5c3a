// Controls of the judgements of a wine. Labels and options come from the messages and the spec; the
// caller holds the values.
import vocabularies from '../spec/vocabularies.json' with { type: 'json' };
import { html } from '../lib/ui.js';
import { t } from '../i18n.js';
import { number } from '../lib/format.js';
import { Choice, Choices } from '../components/form/choice.js';
import { SliderScale } from '../components/form/slider_scale.js';

const lists = /** @type {Record<string, string[]>} */ (vocabularies.vocabularies);

/**
 * Offer the words of a vocabulary: one of them, or several where the record holds a list.
 * @param {{ vocabulary: string, several?: boolean, label: string, value: any, note?: string | undefined, without?:
 *   string[], onChange: (value: any) => void }} props without: words that are not offered unless they were chosen
 */
export function VocabularyChoice({ vocabulary, several = false, label, value, note, without = [], onChange }) {
  const words = (lists[vocabulary] ?? []).filter((id) => !without.includes(id) || value === id);
  const options = words.map((id) => ({ id, label: t(`${vocabulary}.${id}`) }));
  return html`<${several ? Choices : Choice} label=${label} options=${options} value=${value} note=${note}
    onChange=${onChange} />`;
}

/**
 * Show a scale from 0 to 10 with the words at its ends.
 * @param {{ scale: string, value: number | null | undefined, onChange: (value: number | null) => void, disabled?:
 *   boolean, children?: unknown }} props
 */
export function TermScale({ scale, value, onChange, disabled = false, children }) {
  return html`<${SliderScale} label=${t(`scale.${scale}`)} low=${t(`scale.${scale}.low`)}
      high=${t(`scale.${scale}.high`)}
      format=${ofTen} value=${value} onChange=${onChange} disabled=${disabled}>${children}<//>`;
}

/** @param {number} value */
const ofTen = (value) => t('parts.of_ten', { value: number(value) });

/**
 * Show the nine-point hedonic scale of Peryam and Pilgrim (1957).
 * @param {{ value: number | null | undefined, onChange: (value: number | null) => void, disabled?: boolean }} props
 */
export function LikingScale({ value, onChange, disabled = false }) {
  return html`<${SliderScale} label=${t('field.liking')} low=${t('liking.1')} high=${t('liking.9')} min=${1} max=${9}
    step=${1} keyStep=${1} notched=${true} value=${value} disabled=${disabled} onChange=${onChange}
    format=${(/** @type {number} */ liking) => t(`liking.${liking}`)} />`;
}
