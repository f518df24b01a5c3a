// A list that shows its first entries, and all on demand.
import { html, useState } from '../../lib/ui.js';
import { useProgressiveList } from './progressive.js';

const INITIAL_COUNT = 2;

/**
 * @template T
 * @param {{ items: readonly T[], few: number, row: (item: T) => unknown, more: string, fewer: string, ordered?:
 *   boolean }} props
 */
export function ExpandableList({ items, few, row, more, fewer, ordered = false }) {
  const [all, setAll] = useState(false);
  const shown = useProgressiveList(() => items.map(row), [items], {
    most: all ? Infinity : few,
    first: INITIAL_COUNT,
    more: INITIAL_COUNT,
  });
  return html`${ordered ? html`<ol class="ruled">${shown}</ol>` : html`<ul class="ruled">${shown}</ul>`}
    ${
      items.length > few &&
      html`<button type="button" class="button plain first-few" aria-expanded=${all}
        onClick=${() => setAll(!all)}>
      ${all ? fewer : more}
    </button>`
    }`;
}
