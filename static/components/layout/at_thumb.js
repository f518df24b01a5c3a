// Main buttons of a page, which stay above the navigation.
import { html } from '../../lib/ui.js';
import { useRootClass } from './root_class.js';

/** @param {{ isTall?: boolean, children?: unknown }} props isTall: the buttons may take two rows */
export function AtThumb({ isTall = false, children }) {
  useRootClass('with-thumb');
  useRootClass(isTall ? 'with-tall-thumb' : null);
  return html`<div class=${isTall ? 'at-thumb tall-thumb' : 'at-thumb'}>${children}</div>`;
}
