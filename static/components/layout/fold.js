// A part of a page that is folded under its title until it is opened.
import { html, useState } from '../../lib/ui.js';
import { printing } from '../../lib/printing.js';

/**
 * @param {{ id?: string, title: string, level?: 'h2' | 'h3', line?: unknown, onPaper?: boolean, children?: unknown }}
 *   props level: of the title; line: what is inside, in short; onPaper: whether a print opens it; children are rendered
 *   when the fold is first opened
 */
export function Fold({ id, title, level = 'h2', line, onPaper = false, children }) {
  const [opened, setOpened] = useState(false);
  const [asked, setAsked] = useState(false);
  const isOpen = opened || (onPaper && printing.value);
  const toggled = (/** @type {Event} */ event) => {
    // A print opens the fold too, but does not leave it open.
    if (printing.peek()) return;
    const { open } = /** @type {HTMLDetailsElement} */ (event.currentTarget);
    setOpened(open);
    if (open) setAsked(true);
  };
  return html`<details id=${id} class="fold part-fold" open=${isOpen} onToggle=${toggled}>
    <summary>
      <span class="grow"><${level}>${title}<//>${line && html`<span class="soft small fold-line">${line}</span>`}</span>
    </summary>
    ${(isOpen || asked) && html`<div class="fold-inside">${children}</div>`}
  </details>`;
}
