// One conclusion with its reasons and their strength.
import { html } from '../../lib/ui.js';

/** @typedef {{ text: string, says: string, note?: string | null }} Reason */

/** @param {{ title: string, reading: string, reasons: Reason[], children?: unknown }} props */
export function EvidenceSection({ title, reading, reasons, children }) {
  return html`<section class="evidence"><h2>${title}</h2><p class="evidence-reading name">${reading}</p>${children}
    ${
      reasons.length > 0 &&
      html`<ul class="ruled">
      ${reasons.map(
        ({ text, says, note }) => html`<li>
      <span class="grow">${text}${
        note &&
        html` <span class="soft small">
      ${note}
    </span>`
      }</span><span class="soft small">${says}</span>
    </li>`,
      )}
    </ul>`
    }
    </section>`;
}
