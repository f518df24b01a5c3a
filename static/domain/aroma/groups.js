// All aromas: nine groups that open, and in a large group its families.
import { html, useLayoutEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { aromaIds } from './entry.js';
import { AromaChip } from './chips.js';
import { Row } from '../../components/layout/row.js';
import { familiesInOrder, groups } from './ranking.js';

/** A group with more words shows those of the expected families, and of the others only the names. */
const MAX_WORDS = 24;

/** @typedef {import('./ranking.js').Family} Family */
/** @typedef {import('./ranking.js').Group} Group */
/** @typedef {{ noted: string[] | null | undefined, onTap: (word: string) => void }} Noted */

/** @param {Noted & { order: string[] }} props order: the expected families, likeliest first */
export function Groups({ order, noted, onTap }) {
  const [open, setOpen] = useState(/** @type {string | null} */ (null));
  const chosen = aromaIds(noted);
  const shown = groups.find((group) => group.id === open);
  return html`<section class="aroma-groups" aria-label=${t('pour.aroma_groups')}>
    <p class="label">${t('pour.aroma_groups')}</p>
    <div class="choices">${groups.map(({ id, families }) => {
      const count = families.flatMap((family) => family.words).filter((word) => chosen.includes(word)).length;
      return html`<button type="button" class="choice" key=${id} aria-expanded=${open === id}
        onClick=${() => setOpen(open === id ? null : id)}>
        ${t(`aroma_group.${id}`)}${count > 0 && html` <span class="figure">${count}</span>`}
      </button>`;
    })}</div>
    ${shown && html`<${Families} key=${open} group=${shown} order=${order} noted=${noted} onTap=${onTap} />`}
  </section>`;
}

/** @param {Noted & { group: Group, order: string[] }} props */
function Families({ group, order, noted, onTap }) {
  const [opened, setOpened] = useState(/** @type {string[]} */ ([]));
  const list = useRef(/** @type {HTMLElement | null} */ (null));
  // What opens below the edge of the screen would seem not to have opened.
  useLayoutEffect(() => showFamily(list.current), []);
  useLayoutEffect(() => showFamily(list.current?.querySelector(`[data-family="${opened.at(-1)}"]`)), [opened]);
  const chosen = aromaIds(noted);
  const isLarge = group.families.flatMap((family) => family.words).length > MAX_WORDS;
  const isOpen = (/** @type {Family} */ { id, words }) =>
    !isLarge || order.includes(id) || opened.includes(id) || words.some((word) => chosen.includes(word));
  return html`<ul class="ruled families" ref=${list} aria-label=${t(`aroma_group.${group.id}`)}>
    ${familiesInOrder(group.families, order).map(
      (family) =>
        html`<li key=${family.id} data-family=${family.id}>${
          isOpen(family)
            ? html`<p class="soft small">${t(`aroma_family.${family.id}`)}</p>
              <div class="choices family-words">${family.words.map(
                (aroma) => html`<${AromaChip} key=${aroma} aroma=${aroma} noted=${noted} onTap=${onTap} />`,
              )}</div>`
            : html`<${Row} className="family" aria-expanded=${false} name=${t(`aroma_family.${family.id}`)}
              line=${firstWords(family)} onClick=${() => setOpened([...opened, family.id])} />`
        }</li>`,
    )}
  </ul>`;
}

/** @param {Element | null | undefined} opened */
function showFamily(opened) {
  opened?.scrollIntoView({ block: 'nearest' });
}

/** @param {Family} family */
const firstWords = ({ words }) =>
  words
    .slice(0, 4)
    .map((word) => t(`aroma.${word}`))
    .join(', ');
