// Main buttons of a page, which stay above the navigation.
import { html } from '../../lib/ui.js';
import { useRootClass } from './root_class.js';

/** @param {{ className?: string, children?: unknown }} props */
export function AtThumb({ className = 'at-thumb', children }) {
  useRootClass('with-thumb');
  return html`<div class=${className}>${children}</div>`;
}
