// Aroma picker: noted ones, likely ones, and all others by family or search.
import { html, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { plainText } from '../../lib/plain_text.js';
import { customEntry, cycleStrength, remove, aromaIds } from './entry.js';
import { families, familiesInOrder, suggest, sameAs } from './ranking.js';
import { AromaChip, ChipList } from './chips.js';
import { Row } from '../../components/layout/row.js';

const SUGGESTION_COUNT = 12;

/**
 * @typedef {object} Expected aromas to offer first
 * @property {string[]} ofStyle families, likeliest first
 * @property {Set<string> | null} allowed words that may be offered, null for all
 * @property {Map<string, number>} counts number of the taster's tastings by aroma
 * @property {string[]} last the taster's last aromas, newest first
 */

/**
 * @param {{ label: string, noted: string[] | null | undefined, onChange: (change: (entries: string[] | null |
 *   undefined) => string[] | null) => void, expected: Expected, excluded?: string[], error?: string | null }} props
 *   onChange: gets a function from the noted entries to the new ones; excluded: aromas shown elsewhere on the page
 */
export function WordPicker({ label, noted, onChange, expected, excluded = [], error = null }) {
  const { ofStyle, allowed, counts, last } = expected;
  const tap = (/** @type {string} */ aroma) => onChange((entries) => cycleStrength(entries, aroma));
  const suggested = useMemo(
    () => suggest({ last, styleFamilies: ofStyle, counts, allowed }, excluded, SUGGESTION_COUNT),
    [ofStyle.join(), excluded.join(), counts, allowed],
  );
  return html`<section class="aromas" aria-label=${label}>
    <h2>${label}</h2>
    <${ChipList} noted=${noted} onTap=${tap}
        onRemove=${(/** @type {string} */ aroma) => onChange((entries) => remove(entries, aroma))} />
    ${error && html`<p class="field-error">${error}</p>`}
    <${AromaSearch} noted=${noted} suggested=${suggested} onTap=${tap} onOwn=${(/** @type {string} */ entry) => {
      if (!aromaIds(noted).includes(entry)) tap(entry);
    }} />
    <${Families} order=${ofStyle} noted=${noted} onTap=${tap} />
  </section>`;
}

/**
 * @param {{ noted: string[] | null | undefined, suggested: string[], onTap: (word: string) => void, onOwn: (entry:
 *   string) => void }} props
 */
function AromaSearch({ noted, suggested, onTap, onOwn }) {
  const [typed, setTyped] = useState('');
  const query = plainText(typed).trim();
  const hits = query ? findAromas(query) : suggested;
  const exact = hits.some((aroma) => plainText(t(`aroma.${aroma}`)) === query);
  const pick = (/** @type {string} */ aroma) => {
    onTap(aroma);
    setTyped('');
  };
  const own = () => {
    const entry = customEntry(typed);
    if (entry) onOwn(entry);
    setTyped('');
  };
  const enter = (/** @type {KeyboardEvent} */ event) => {
    if (event.key !== 'Enter' || !query) return;
    event.preventDefault();
    if (hits[0] && (exact || hits.length === 1)) pick(hits[0]);
    else own();
  };
  return html`<div class="field"><label><span class="unseen">${t('pour.find_aroma')}</span>
      <input type="search" value=${typed} placeholder=${t('pour.find_aroma')} autocomplete="off" enterkeyhint="done"
          onKeyDown=${enter}
          onInput=${(/** @type {Event} */ event) => setTyped(/** @type {HTMLInputElement} */ (event.target).value)} />
      </label>
      </div>
    ${
      hits.length > 0 &&
      html`<div class="choices" role="group"
        aria-label=${t(query ? 'pour.found_words' : 'pour.near_words')}>
      ${hits.map((aroma) => html`<${AromaChip} key=${aroma} aroma=${aroma} noted=${noted} onTap=${pick} />`)}
    </div>`
    }
    ${
      query &&
      !exact &&
      html`<button type="button" class="button own-word" onClick=${own}>
      ${t('pour.add_own', { words: typed.trim() })}
    </button>`
    }`;
}

/** @param {string} query normalized */
function findAromas(query) {
  const every = [...families.flatMap((family) => family.words), ...sameAs.keys()];
  const text = (/** @type {string} */ aroma) => plainText(t(`aroma.${aroma}`));
  const hits = [...new Set(every)].filter((aroma) => ` ${text(aroma)}`.includes(` ${query}`));
  const inFamily = families
    .filter((family) => plainText(t(`aroma_family.${family.id}`)).startsWith(query))
    .flatMap((family) => family.words);
  const sorted = hits.sort((a, b) => text(a).length - text(b).length).map((aroma) => sameAs.get(aroma) ?? aroma);
  return [...new Set([...sorted, ...inFamily])].slice(0, SUGGESTION_COUNT);
}

/** @param {{ order: string[], noted: string[] | null | undefined, onTap: (word: string) => void }} props */
function Families({ order, noted, onTap }) {
  const [open, setOpen] = useState(/** @type {string | null} */ (null));
  const [expanded, setExpanded] = useState(false);
  const chosen = aromaIds(noted);
  const toggle = html`<button type="button" class="button plain families-word" aria-expanded=${expanded}
      onClick=${() => setExpanded(!expanded)}>
    ${t('pour.families')}
  </button>`;
  if (!expanded) return toggle;
  return html`${toggle}<ul class="ruled families" aria-label=${t('pour.families')}>${familiesInOrder(order).map(
    (family) => {
      const chosenCount = family.words.filter((aroma) => chosen.includes(aroma)).length;
      const isOpen = open === family.id;
      return html`<li key=${family.id}>
      <${Row} className="family" aria-expanded=${isOpen} onClick=${() => setOpen(isOpen ? null : family.id)}
          name=${t(`aroma_family.${family.id}`)} line=${!isOpen && firstWords(family)}>
        ${chosenCount > 0 && html`<span class="figure">${chosenCount}</span>`}
      <//>
      ${
        isOpen &&
        html`<div class="choices family-words">
        ${family.words.map((aroma) => html`<${AromaChip} key=${aroma} aroma=${aroma} noted=${noted} onTap=${onTap} />`)}
      </div>`
      }
    </li>`;
    },
  )}</ul>`;
}

/** @param {import('./ranking.js').Family} family */
const firstWords = ({ words }) =>
  words
    .slice(0, 4)
    .map((word) => t(`aroma.${word}`))
    .join(', ');
