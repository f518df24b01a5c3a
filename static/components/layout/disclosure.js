// Hides rarely used fields behind a button.
import { html, useState } from '../../lib/ui.js';

/** @param {{ label: string, initiallyOpen?: boolean, children?: unknown }} props */
export function Disclosure({ label, initiallyOpen = false, children }) {
  const [open, setOpen] = useState(initiallyOpen);
  return html`<div class="more">
  <button type="button" class="button plain" aria-expanded=${open} onClick=${() => setOpen(!open)}>${label}
  </button>
  ${open && html`<div>${children}</div>`}
  </div>`;
}
