// Texts of aroma entries: `aroma`, `word:3` with strength, `~custom text`.
import { html } from '../lib/ui.js';
import { t } from '../i18n.js';

/** @typedef {{ id: string, text: string, strength: number | null }} Aroma */

/** @param {string[] | null | undefined} entries @returns {Aroma[]} */
export function parseAromas(entries) {
  return (entries ?? []).map(parseAroma);
}

/** @param {string} entry @returns {Aroma} */
function parseAroma(entry) {
  if (entry.startsWith('~')) return { id: entry, text: entry.slice(1), strength: null };
  const [aroma = '', strength] = entry.split(':');
  return { id: aroma, text: t(`aroma.${aroma}`), strength: strength ? Number(strength) : null };
}

/**
 * Show the aromas of one step. New ones are emphasized, and faded ones are listed after them; where none is repeated,
 * nobody said which are still there.
 * @param {{ entries: string[] | null | undefined, before?: string[] | null | undefined }} props
 */
export function AromaLine({ entries, before }) {
  const now = parseAromas(entries);
  const earlier = before ? parseAromas(before) : null;
  const known = new Set(earlier?.map((each) => each.id));
  const faded = (earlier ?? []).filter((each) => !now.some((other) => other.id === each.id));
  return html`<p class="aroma-line">
      ${now.map(
        (each, index) => html`<${AromaItem} aroma=${each}
          isNew=${earlier !== null && earlier.length > 0 && !known.has(each.id)} last=${index === now.length - 1} />`,
      )}
    </p>
    ${
      faded.length > 0 &&
      faded.length < known.size &&
      html`<p class="soft small">
      ${t('book.faded', { words: faded.map((each) => each.text).join(', ') })}
    </p>`
    }`;
}

/** @param {{ aroma: Aroma, isNew: boolean, last: boolean }} props */
function AromaItem({ aroma: each, isNew, last }) {
  return html`<span class=${isNew ? 'fresh-word' : undefined}>${each.text}
  </span>
  ${each.strength && html`<span class="soft small"> ${t(`book.strength_${each.strength}`)}</span>`}
  ${isNew && html`<span class="unseen"> ${t('book.appeared')}</span>`}
  ${last ? '' : ', '}`;
}
