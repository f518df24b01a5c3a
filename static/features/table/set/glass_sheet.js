// Chooses the wine of a glass: search the notebook, bottles at home first, or name a new wine.
import { html, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { allOf, liveSignal, stock } from '../../../store/queries.js';
import { Row } from '../../../components/layout/row.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { bottleLine, wineName } from '../../../domain/bottle_names.js';

/** @typedef {import('../../../store/record.js').Row} BottleRow */
/** @typedef {{ bottles: BottleRow[], atHome: Set<string> }} Known */

const SHOWN = 20;
/** @type {Known} */
const NOTHING = { bottles: [], atHome: new Set() };

/** @returns {Promise<Known>} bottles whose label may be seen; those at home first, then the newest */
async function readKnown() {
  const inStock = (await stock()).filter((row) => row.fields['count'] > 0);
  const atHome = new Set(inStock.map((row) => String(row.fields['bottle'])));
  const named = (await allOf('bottle'))
    .filter(({ fields }) => !fields['covered'] && !fields['merged_into'] && (fields['name'] || fields['style']))
    .reverse();
  const isAway = (/** @type {BottleRow} */ row) => (atHome.has(row.id) ? 0 : 1);
  return { bottles: named.sort((a, b) => isAway(a) - isAway(b)), atHome };
}

/**
 * @param {{ open: boolean, onClose: () => void, onChoose: (wine: { bottle: string } | { name: string }) => void }}
 *   props
 */
export function GlassSheet({ open, onClose, onChoose }) {
  return html`<${Sheet} title=${t('table.choose_wine')} open=${open} onClose=${onClose}>
    <${Wines} onChoose=${onChoose} /><//>`;
}

/** @param {{ onChoose: (wine: { bottle: string } | { name: string }) => void }} props */
function Wines({ onChoose }) {
  const { bottles, atHome } = useMemo(() => liveSignal(readKnown, NOTHING), []).value;
  const [typed, setTyped] = useState('');
  const terms = plainText(typed).split(/\s+/).filter(Boolean);
  const textOf = (/** @type {BottleRow} */ row) =>
    ` ${plainText([row.fields['producer'], wineName(row.fields), bottleLine(row)].filter(Boolean).join(' '))}`;
  const found = bottles.filter((row) => terms.every((term) => textOf(row).includes(` ${term}`)));
  const name = typed.trim();
  return html`<div class="field"><label><span class="label">${t('table.wine_find')}</span>
      <input type="search" value=${typed} maxlength="120" autofocus autocomplete="off" enterkeyhint="done"
        onInput=${(/** @type {Event} */ event) => setTyped(/** @type {HTMLInputElement} */ (event.target).value)} />
    </label></div>
    ${
      name &&
      html`<button type="button" class="button" onClick=${() => onChoose({ name })}>${t('table.wine_new', { name })}
    </button>`
    }
    <ul class="ruled">${found.slice(0, SHOWN).map(
      (row) => html`<li key=${row.id}><${Row} name=${wineName(row.fields)} onClick=${() => onChoose({ bottle: row.id })}
        line=${[atHome.has(row.id) ? t('table.at_home') : null, bottleLine(row)].filter(Boolean).join(' \u00b7 ')} />
      </li>`,
    )}</ul>`;
}
