// What became of the words of one moment in the next: a strand for each that stayed, faded or appeared.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { wordsOf } from './aroma_entry.js';
import { aromaText } from './aroma_words.js';
import { says } from './in_hand.js';

const STRANDS = /** @type {const} */ ({ stayed: 'M4 8 H76', faded: 'M4 8 H40', appeared: 'M40 8 H76' });

/** @typedef {keyof typeof STRANDS} Fate */

/** @param {{ from: string, to: string }} props fields of the tasting */
export function Evolution({ from, to }) {
  const before = wordsOf(says.tasting.value[from]);
  const after = wordsOf(says.tasting.value[to]);
  if (!before.length || !after.length) return null;
  const fates = /** @type {[Fate, string[]][]} */ ([
    ['stayed', after.filter((word) => before.includes(word))], ['appeared', after.filter((word) => !before.includes(word))], ['faded', before.filter((word) => !after.includes(word))],
  ]);
  return html`<section class="evolution"><h3>${t('pour.evolution', { from: t(`field.${from}`), to: t(`field.${to}`) })}</h3>
    <ul>${fates.flatMap(([fate, words]) => words.map((word) => html`<li key=${word}><span class="name">${aromaText(word)}</span><${Strand} fate=${fate} /><span class="soft small">${t(`pour.${fate}`)}</span></li>`))}</ul></section>`;
}

/** @param {{ fate: Fate }} props */
function Strand({ fate }) {
  return html`<svg viewBox="0 0 80 16" aria-hidden="true" focusable="false"><path class="strand" d=${STRANDS[fate]} />
    ${fate !== 'appeared' && html`<circle class="tied" cx="6" cy="8" r="4" />`}${fate !== 'faded' && html`<circle class="tied" cx="74" cy="8" r="4" />`}
    ${fate === 'faded' && html`<path class="frayed" d="M40 8 H76" />`}</svg>`;
}
