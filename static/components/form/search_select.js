// Selects from a long list, filtered by typed text.
import { plainText, withinOneTypo } from '../../lib/plain_text.js';
import { html, useId, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../layout/sheet.js';
import { useProgressiveCount } from '../layout/progressive.js';
import { Row } from '../layout/row.js';

/**
 * @typedef {object} Item
 * @property {string} id
 * @property {string} label
 * @property {string} [note]
 * @property {string} find normalized text that is searched
 * @property {string} [group] heading in the list of all
 * @property {boolean} [isFirst] before better matches
 * @property {number} [order] among equal matches
 */

const INITIAL_COUNT = 60;
/** Of a list with headings all is shown, because the headings are to be scrolled to. */
const GROUPED_COUNT = 400;
const ON_A_SCREEN = 12;

/**
 * Filter items by the beginnings of words; without a match, allow one typo. Items whose label
 * matches come first.
 * @param {Item[]} items
 * @param {string} typed
 */
export function filterItems(items, typed) {
  const terms = plainText(typed).split(/\s+/).filter(Boolean);
  if (!terms.length) return items;
  const found = (/** @type {typeof startsWord} */ matches) => {
    const every = (/** @type {string} */ text) => terms.every((word) => matches(text, word));
    const rank = (/** @type {Item} */ item) => (item.isFirst ? -1 : every(plainText(item.label)) ? 0 : 1);
    return items
      .filter((item) => every(item.find))
      .sort((a, b) => rank(a) - rank(b) || (a.order ?? 0) - (b.order ?? 0));
  };
  const exact = found(startsWord);
  return exact.length ? exact : found((text, word) => startsWord(text, word) || mistyped(text, word));
}

const TYPO_LETTERS = 5;

/** @param {string} text @param {string} word */
const startsWord = (text, word) => ` ${text}`.includes(` ${word}`);

/**
 * Allow one typo in words of five letters and more.
 * @param {string} text
 * @param {string} word
 */
function mistyped(text, word) {
  return word.length >= TYPO_LETTERS && text.split(/[^\p{L}\p{N}]+/u).some((each) => withinOneTypo(each, word));
}

/**
 * @param {{ label: string, items: Item[], value: string | null | undefined, onChange: (id: string |
 *   null) => void, placeholder: string, likely?: string[], hideLabel?: boolean, valueText?: string,
 *   onOpen?: () => void }} props `valueText`: text of the selection if the items are loaded only when
 *   the sheet opens
 */
export function SearchSelect({
  label,
  items,
  value,
  onChange,
  placeholder,
  likely = [],
  hideLabel,
  valueText,
  onOpen,
}) {
  const id = useId();
  const [open, setOpen] = useState(false);
  const chosen = valueText || items.find((item) => item.id === value)?.label;
  const choose = (/** @type {string | null} */ next) => {
    onChange(next);
    setOpen(false);
  };
  return html`<div class="field">
    <span class=${hideLabel ? 'unseen' : 'label'} id=${id}>${label}</span>
    <button type="button" class="row ruled-row opens-list" aria-labelledby=${`${id} ${id}-value`} onClick=${() => {
      onOpen?.();
      setOpen(true);
    }}>
      <span class=${chosen ? 'grow' : 'grow soft voice'} id=${`${id}-value`}>${chosen ?? placeholder}
      </span>
    </button>
    <${Sheet} className="steady" title=${label} open=${open} onClose=${() => setOpen(false)}>
      <${SearchList} items=${items} likely=${likely} chosen=${value} onChoose=${choose} />
    <//>
  </div>`;
}

/**
 * @param {{ items: Item[], likely: string[], chosen: string | null | undefined, onChoose: (id: string | null) =>
 *   void }} props
 */
export function SearchList({ items, likely, chosen, onChoose }) {
  const [typed, setTyped] = useState('');
  const byId = new Map(items.map((item) => [item.id, item]));
  const first = likely.flatMap((likelyId) => byId.get(likelyId) ?? []);
  const found = filterItems(typed ? items : [...first, ...items.filter((item) => !likely.includes(item.id))], typed);
  const isGrouped = !typed && items.some((item) => item.group);
  const shownCount = useProgressiveCount(isGrouped ? GROUPED_COUNT : INITIAL_COUNT, ON_A_SCREEN, INITIAL_COUNT);
  const headingOf = (/** @type {Item | undefined} */ item) =>
    item && (likely.includes(item.id) ? t('parts.likely') : item.group);
  return html`<div class="field"><label><span class="unseen">${t('parts.find')}</span>
      <input type="search" value=${typed} placeholder=${t('parts.find')} autofocus autocomplete="off"
          enterkeyhint="search"
          onInput=${(/** @type {Event} */ event) => setTyped(/** @type {HTMLInputElement} */ (event.target).value)} />
      </label>
      </div>
    <ul class="ruled">
      ${found.slice(0, shownCount).map(
        (item, at) => html`${
          isGrouped &&
          headingOf(item) !== headingOf(found[at - 1]) &&
          html`<li key=${`heading-${item.id}`}><h3 class="list-heading">${headingOf(item)}</h3></li>`
        }
        <li key=${item.id}>
          <${Row} name=${item.label} line=${item.note || null} aria-pressed=${item.id === chosen}
              onClick=${() => onChoose(item.id)}>
            ${item.id === chosen && html`<span aria-hidden="true">${'\u2713'}</span>`}
          <//>
        </li>`,
      )}
    </ul>
    ${!found.length && items.length > 0 && html`<p class="soft">${t('parts.nothing_found')}</p>`}
    ${
      chosen &&
      html`<button type="button" class="button plain" onClick=${() => onChoose(null)}>${t('parts.clear')}
    </button>`
    }`;
}
