// Aroma picker for one step: noted ones, likely ones, and all others by family or search.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { latestTastings } from '../../../store/queries.js';
import { plainText } from '../../../lib/plain_text.js';
import { customEntry, cycleStrength, remove, aromaIds } from '../../../domain/aroma/entry.js';
import { countAromas, families, familiesInOrder, recent, suggest, sameAs } from './ranking.js';
import { familiesOfColour, wordsOfColour } from './colour_families.js';
import { AromaChip, ChipList } from '../../../domain/aroma/chips.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';
import { styleOf } from '../../../domain/style_names.js';
import { Row } from '../../../components/layout/row.js';

const MAX_TASTINGS = 300;
const SUGGESTION_COUNT = 12;

/** @param {{ field: string, label?: string, excluded?: string[] }} props offered: aromas shown elsewhere on the page */
export function AromaPicker({ field, label = t(`field.${field}`), excluded = [] }) {
  const noted = /** @type {string[] | null | undefined} */ (values.tasting.value[field]);
  const setEntries = (/** @type {string[] | null} */ entries) => setFields('tasting', { [field]: entries });
  const tap = (/** @type {string} */ aroma) => setEntries(cycleStrength(values.tasting.peek()[field], aroma));
  const { counts, last } = useRanking();
  const { ofStyle, allowed } = expectedAromas();
  const suggested = useMemo(
    () => suggest({ last, styleFamilies: ofStyle, counts, allowed }, excluded, SUGGESTION_COUNT),
    [ofStyle.join(), excluded.join(), counts, allowed],
  );
  return html`<${FieldSlot} side="tasting" field=${field}><section class="aromas" aria-label=${label}>
    <h2>${label}</h2>
    <${ChipList} noted=${noted} onTap=${tap}
        onRemove=${(/** @type {string} */ aroma) => setEntries(remove(values.tasting.peek()[field], aroma))} />
    ${errorText('tasting', field) && html`<p class="field-error">${errorText('tasting', field)}</p>`}
    <${AromaSearch} noted=${noted} suggested=${suggested} onTap=${tap} onOwn=${(/** @type {string} */ entry) => {
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

const NOTHING_NOTED = { counts: /** @type {Map<string, number>} */ (new Map()), last: /** @type {string[]} */ ([]) };

/** Load how often each aroma was noted, and which were the last ones in other tastings. */
function useRanking() {
  const [noted, setNoted] = useState(NOTHING_NOTED);
  const own = currentPour.value?.tasting;
  useEffect(() => {
    latestTastings(MAX_TASTINGS).then((rows) => {
      setNoted({
        counts: countAromas(rows.map((row) => row.fields)),
        last: recent(rows.filter((row) => row.id !== own).map((row) => row.fields)),
      });
    });
  }, [own]);
  return noted;
}
