// Main buttons of a page, which stay above the navigation.
import { html } from '../../lib/ui.js';
import { useRootClass } from './root_class.js';

/** @param {{ className?: string, isTall?: boolean, children?: unknown }} props isTall: the buttons may take two rows */
export function AtThumb({ className = 'at-thumb', isTall = false, children }) {
  useRootClass('with-thumb');
  useRootClass(isTall ? 'with-tall-thumb' : null);
  return html`<div class=${className}>${children}</div>`;
}
