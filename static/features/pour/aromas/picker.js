// Aroma picker for one step: noted ones, likely ones, one's own words, and all others by group or search.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { latestTastings } from '../../../store/queries.js';
import { plainText } from '../../../lib/plain_text.js';
import { customEntry, cycleStrength, remove, aromaIds } from '../../../domain/aroma/entry.js';
import { findAromas } from './find.js';
import { Groups } from './groups.js';
import { countAromas, ownWords, recent, suggest } from './ranking.js';
import { familiesOfColour, wordsOfColour, wordsOfStyle } from './colour_families.js';
import { AromaChip, ChipList, aromaText } from '../../../domain/aroma/chips.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';
import { styleOf } from '../../../domain/style_names.js';

const MAX_TASTINGS = 300;
const SUGGESTION_COUNT = 12;
const OWN_COUNT = 5;

/** @param {{ field: string, label?: string, excluded?: string[] }} props offered: aromas shown elsewhere on the page */
export function AromaPicker({ field, label = t(`field.${field}`), excluded = [] }) {
  const noted = /** @type {string[] | null | undefined} */ (values.tasting.value[field]);
  const setEntries = (/** @type {string[] | null} */ entries) => setFields('tasting', { [field]: entries });
  const tap = (/** @type {string} */ aroma) => {
    const entries = values.tasting.peek()[field];
    // One's own words have no strength, so a second tap takes them away.
    const isDone = aroma.startsWith('~') && aromaIds(entries).includes(aroma);
    setEntries(isDone ? remove(entries, aroma) : cycleStrength(entries, aroma));
  };
  const { counts, last, own } = useRanking();
  const { ofStyle, allowed, strict } = expectedAromas();
  const suggested = useMemo(
    () => suggest({ last, styleFamilies: ofStyle, counts, allowed, strict }, excluded, SUGGESTION_COUNT),
    [ofStyle.join(), excluded.join(), counts, [...(allowed ?? [])].join(), strict],
  );
  return html`<${FieldSlot} side="tasting" field=${field}><section class="aromas" aria-label=${label}>
    <h2>${label}</h2>
    <${ChipList} noted=${noted} onTap=${tap}
        onRemove=${(/** @type {string} */ aroma) => setEntries(remove(values.tasting.peek()[field], aroma))} />
    ${errorText('tasting', field) && html`<p class="field-error">${errorText('tasting', field)}</p>`}
    <${AromaSearch} noted=${noted} suggested=${suggested} own=${own.filter((word) => !excluded.includes(word))}
        onTap=${tap} onOwn=${(/** @type {string} */ entry) => {
          if (!aromaIds(noted).includes(entry)) tap(entry);
        }} />
    <${Groups} order=${ofStyle} noted=${noted} onTap=${tap} />
  </section><//>`;
}

/**
 * What the style is known for in this colour; without a style, or under a hidden label, what wines of the colour seen
 * are known for.
 * @returns {{ ofStyle: string[], allowed: Set<string> | null, strict: boolean }} as in `suggest`
 */
function expectedAromas() {
  // With a hidden label, suggestions by style would reveal the style.
  const hidden = isLabelHidden.value;
  const bottle = hidden ? {} : values.bottle.value;
  const style = styleOf(bottle['style']);
  const seen = lookedAtColour(values.tasting.value) ?? bottle['colour'] ?? style?.colour ?? null;
  if (style) return { ofStyle: style.aroma_families, allowed: wordsOfStyle(style.aroma_families, seen), strict: false };
  if (!hidden && !seen) return { ofStyle: [], allowed: null, strict: false };
  return { ofStyle: familiesOfColour(seen), allowed: wordsOfColour(seen), strict: true };
}

/**
 * @param {{ noted: string[] | null | undefined, suggested: string[], own: string[], onTap: (word: string) => void,
 *   onOwn: (entry: string) => void }} props own: one's own words from other tastings
 */
function AromaSearch({ noted, suggested, own: ownBefore, onTap, onOwn }) {
  const [typed, setTyped] = useState('');
  const query = plainText(typed).trim();
  const hits = query ? findAromas(query, ownBefore, SUGGESTION_COUNT) : suggested;
  const exact = hits.some((aroma) => plainText(aromaText(aroma)).trim() === query);
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
      !query &&
      ownBefore.length > 0 &&
      html`<div role="group" aria-label=${t('pour.own_words')}>
        <p class="label">${t('pour.own_words')}</p>
        <div class="choices">${ownBefore
          .slice(0, OWN_COUNT)
          .map((aroma) => html`<${AromaChip} key=${aroma} aroma=${aroma} noted=${noted} onTap=${onTap} />`)}</div>
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

const NOTHING_NOTED = {
  counts: /** @type {Map<string, number>} */ (new Map()),
  last: /** @type {string[]} */ ([]),
  own: /** @type {string[]} */ ([]),
};

/** Load how often each aroma was noted, and which were the last and one's own ones in other tastings. */
function useRanking() {
  const [noted, setNoted] = useState(NOTHING_NOTED);
  const own = currentPour.value?.tasting;
  useEffect(() => {
    latestTastings(MAX_TASTINGS).then((rows) => {
      const others = rows.filter((row) => row.id !== own).map((row) => row.fields);
      setNoted({
        counts: countAromas(rows.map((row) => row.fields)),
        last: recent(others),
        own: ownWords(others),
      });
    });
  }, [own]);
  return noted;
}
