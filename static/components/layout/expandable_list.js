// A list that shows its first entries, and all on demand.
import { html, useState } from '../../lib/ui.js';
import { useProgressiveList } from './progressive.js';

const INITIAL_COUNT = 2;

/**
 * @template T
 * @param {{ items: readonly T[], initialCount: number, row: (item: T) => unknown, more: string, lessText: string,
 * ordered?:
 *   boolean }} props
 */
export function ExpandableList({ items, initialCount, row, more, lessText, ordered = false }) {
  const [all, setAll] = useState(false);
  const visible = useProgressiveList(() => items.map(row), [items], {
    limit: all ? Infinity : initialCount,
    first: INITIAL_COUNT,
    more: INITIAL_COUNT,
  });
  return html`${ordered ? html`<ol class="ruled">${visible}</ol>` : html`<ul class="ruled">${visible}</ul>`}
    ${
      items.length > initialCount &&
      html`<button type="button" class="button plain first-few" aria-expanded=${all}
        onClick=${() => setAll(!all)}>
      ${all ? lessText : more}
    </button>`
    }`;
}
