// Aroma picker for one step: noted ones, likely ones, and all others by family or search.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { latestTastings } from '../../../store/queries.js';
import { plainText } from '../../../lib/plain_text.js';
import { customEntry, cycleStrength, remove, aromaIds } from '../../../domain/aroma/entry.js';
import { countWords, families, familiesInOrder, recent, suggest, sameAs } from './ranking.js';
import { familiesOfColour, wordsOfColour } from './colour_families.js';
import { AromaChip, ChipList } from '../../../domain/aroma/chips.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';
import { styleOf } from '../../../domain/style_names.js';
import { Row } from '../../../components/layout/row.js';

const LOOKED_BACK = 300;
const NEAR = 12;

/** @param {{ field: string, label?: string, offered?: string[] }} props offered: aromas shown elsewhere on the page */
export function AromaPicker({ field, label = t(`field.${field}`), offered = [] }) {
  const noted = /** @type {string[] | null | undefined} */ (values.tasting.value[field]);
  const give = (/** @type {string[] | null} */ entries) => setFields('tasting', { [field]: entries });
  const tap = (/** @type {string} */ word) => give(cycleStrength(values.tasting.peek()[field], word));
  const { counts, last } = useRanking();
  const { ofStyle, allowed } = expectedAromas();
  const near = useMemo(
    () => suggest({ last, styleFamilies: ofStyle, counts, allowed }, offered, NEAR),
    [ofStyle.join(), offered.join(), counts, allowed],
  );
  return html`<${FieldSlot} side="tasting" field=${field}><section class="aromas" aria-label=${label}>
    <h2>${label}</h2>
    <${ChipList} noted=${noted} onTap=${tap}
        onRemove=${(/** @type {string} */ word) => give(remove(values.tasting.peek()[field], word))} />
    ${errorText('tasting', field) && html`<p class="field-error">${errorText('tasting', field)}</p>`}
    <${WordSearch} noted=${noted} near=${near} onTap=${tap} onOwn=${(/** @type {string} */ entry) => {
      if (!aromaIds(noted).includes(entry)) tap(entry);
    }} />
    <${Families} order=${ofStyle} noted=${noted} onTap=${tap} />
  </section><//>`;
}

/**
 * What the style is known for; without one, or under a hidden label, what wines of the colour seen are known for.
 * @returns {{ ofStyle: string[], allowed: Set<string> | null }}
 */
function expectedAromas() {
  // With a hidden label, suggestions by style would reveal the style.
  const hidden = isLabelHidden.value;
  const style = hidden ? null : styleOf(values.bottle.value['style']);
  if (style) return { ofStyle: style.aroma_families, allowed: null };
  const seen = lookedAtColour(values.tasting.value) ?? (hidden ? null : (values.bottle.value['colour'] ?? null));
  if (!hidden && !seen) return { ofStyle: [], allowed: null };
  return { ofStyle: familiesOfColour(seen), allowed: wordsOfColour(seen) };
}

/**
 * @param {{ noted: string[] | null | undefined, near: string[], onTap: (word: string) => void, onOwn: (entry:
 *   string) => void }} props
 */
function WordSearch({ noted, near, onTap, onOwn }) {
  const [typed, setTyped] = useState('');
  const wanted = plainText(typed).trim();
  const hits = wanted ? found(wanted) : near;
  const exact = hits.some((word) => plainText(t(`aroma.${word}`)) === wanted);
  const pick = (/** @type {string} */ word) => {
    onTap(word);
    setTyped('');
  };
  const own = () => {
    const entry = customEntry(typed);
    if (entry) onOwn(entry);
    setTyped('');
  };
  const enter = (/** @type {KeyboardEvent} */ event) => {
    if (event.key !== 'Enter' || !wanted) return;
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
        aria-label=${t(wanted ? 'pour.found_words' : 'pour.near_words')}>
      ${hits.map((word) => html`<${AromaChip} key=${word} word=${word} noted=${noted} onTap=${pick} />`)}
    </div>`
    }
    ${
      wanted &&
      !exact &&
      html`<button type="button" class="button own-word" onClick=${own}>
      ${t('pour.add_own', { words: typed.trim() })}
    </button>`
    }`;
}

/** @param {string} wanted normalized */
function found(wanted) {
  const every = [...families.flatMap((family) => family.words), ...sameAs.keys()];
  const text = (/** @type {string} */ word) => plainText(t(`aroma.${word}`));
  const hits = [...new Set(every)].filter((word) => ` ${text(word)}`.includes(` ${wanted}`));
  const inFamily = families
    .filter((family) => plainText(t(`aroma_family.${family.id}`)).startsWith(wanted))
    .flatMap((family) => family.words);
  const sorted = hits.sort((a, b) => text(a).length - text(b).length).map((word) => sameAs.get(word) ?? word);
  return [...new Set([...sorted, ...inFamily])].slice(0, NEAR);
}

/** @param {{ order: string[], noted: string[] | null | undefined, onTap: (word: string) => void }} props */
function Families({ order, noted, onTap }) {
  const [open, setOpen] = useState(/** @type {string | null} */ (null));
  const [shown, setShown] = useState(false);
  const words = aromaIds(noted);
  const word = html`<button type="button" class="button plain families-word" aria-expanded=${shown}
      onClick=${() => setShown(!shown)}>
    ${t('pour.families')}
  </button>`;
  if (!shown) return word;
  return html`${word}<ul class="ruled families" aria-label=${t('pour.families')}>${familiesInOrder(order).map(
    (family) => {
      const held = family.words.filter((word) => words.includes(word)).length;
      const isOpen = open === family.id;
      return html`<li key=${family.id}>
      <${Row} className="family" aria-expanded=${isOpen} onClick=${() => setOpen(isOpen ? null : family.id)}
          name=${t(`aroma_family.${family.id}`)} line=${!isOpen && firstWords(family)}>
        ${held > 0 && html`<span class="figure">${held}</span>`}
      <//>
      ${
        isOpen &&
        html`<div class="choices family-words">
        ${family.words.map((word) => html`<${AromaChip} key=${word} word=${word} noted=${noted} onTap=${onTap} />`)}
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

const NOTHING_NOTED = { counts: /** @type {Map<string, number>} */ (new Map()), last: /** @type {string[]} */ ([]) };

/** Load how often each aroma was noted, and which were the last ones in other tastings. */
function useRanking() {
  const [noted, setNoted] = useState(NOTHING_NOTED);
  const own = currentPour.value?.tasting;
  useEffect(() => {
    latestTastings(LOOKED_BACK).then((rows) => {
      setNoted({
        counts: countWords(rows.map((row) => row.fields)),
        last: recent(rows.filter((row) => row.id !== own).map((row) => row.fields)),
      });
    });
  }, [own]);
  return noted;
}
