// A thin line that shows how far something is.
import { html } from '../../lib/ui.js';

/** @param {{ label: string, share: number }} props share: 0 to 1 */
export function ProgressLine({ label, share }) {
  return html`<progress max="1" value=${share} aria-label=${label}></progress>`;
}
