// One conclusion with its reasons and their strength.
import { html } from '../../lib/ui.js';

/** @typedef {{ text: string, effect: string, note?: string | null }} Reason */

/** @param {{ title: string, summary: string, reasons: Reason[], children?: unknown }} props */
export function EvidenceSection({ title, summary, reasons, children }) {
  return html`<section class="evidence"><h2>${title}</h2><p class="evidence-reading name">${summary}</p>${children}
    ${
      reasons.length > 0 &&
      html`<ul class="ruled">
      ${reasons.map(
        ({ text, effect, note }) => html`<li>
      <span class="grow">${text}${
        note &&
        html` <span class="soft small">
      ${note}
    </span>`
      }</span><span class="soft small">${effect}</span>
    </li>`,
      )}
    </ul>`
    }
    </section>`;
}
