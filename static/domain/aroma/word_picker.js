// Aroma picker: noted ones, likely ones, one's own words, and all others by group or search.
import { html, useMemo, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { plainText } from '../../lib/plain_text.js';
import { customEntry, cycleStrength, remove, aromaIds } from './entry.js';
import { findAromas } from './find.js';
import { Groups } from './groups.js';
import { suggest } from './ranking.js';
import { AromaChip, ChipList, aromaText } from './chips.js';

const SUGGESTION_COUNT = 12;
const OWN_COUNT = 5;

/**
 * @typedef {object} Expected aromas to offer first
 * @property {string[]} ofStyle families, likeliest first
 * @property {Set<string> | null} allowed words that suit style and colour, null for all
 * @property {boolean} strict offer no others
 * @property {Map<string, number>} counts number of the taster's tastings by aroma
 * @property {string[]} last the taster's last aromas, newest first
 * @property {string[]} own the taster's own words from other tastings
 */

/** @typedef {{ text: string, onText: (text: string) => void }} Typing text: at the start */

/**
 * @param {{ label: string, noted: string[] | null | undefined, onChange: (change: (entries: string[] | null |
 *   undefined) => string[] | null) => void, expected: Expected, excluded?: string[], error?: string | null, typing?:
 *   Typing }} props
 *   onChange: gets a function from the noted entries to the new ones; excluded: aromas shown elsewhere on the page;
 *   typing: keeps what is typed and not added yet
 */
export function WordPicker({ label, noted, onChange, expected, excluded = [], error = null, typing }) {
  const { ofStyle, allowed, strict, counts, last, own } = expected;
  // One's own words have no strength, so a second tap takes them away.
  const tap = (/** @type {string} */ aroma) =>
    onChange((entries) =>
      aroma.startsWith('~') && aromaIds(entries).includes(aroma)
        ? remove(entries, aroma)
        : cycleStrength(entries, aroma),
    );
  const suggested = useMemo(
    () => suggest({ last, styleFamilies: ofStyle, counts, allowed, strict }, excluded, SUGGESTION_COUNT),
    [ofStyle.join(), excluded.join(), counts, [...(allowed ?? [])].join(), strict],
  );
  return html`<section class="aromas" aria-label=${label}>
    <h2>${t('pour.noted_words')}</h2>
    <${ChipList} noted=${noted} onTap=${tap}
        onRemove=${(/** @type {string} */ aroma) => onChange((entries) => remove(entries, aroma))} />
    ${error && html`<p class="field-error">${error}</p>`}
    <${AromaSearch} noted=${noted} suggested=${suggested} own=${own.filter((word) => !excluded.includes(word))}
        onTap=${tap} typing=${typing} onOwn=${(/** @type {string} */ entry) => {
          if (!aromaIds(noted).includes(entry)) tap(entry);
        }} />
    <${Groups} order=${ofStyle} noted=${noted} onTap=${tap} />
  </section>`;
}

/**
 * @param {{ noted: string[] | null | undefined, suggested: string[], own: string[], onTap: (word: string) => void,
 *   onOwn: (entry: string) => void, typing?: Typing | undefined }} props own: one's own words from other tastings
 */
function AromaSearch({ noted, suggested, own: ownBefore, onTap, onOwn, typing }) {
  const [typed, setText] = useState(typing?.text ?? '');
  const [added, setAdded] = useState('');
  const field = useRef(/** @type {HTMLInputElement | null} */ (null));
  const setTyped = (/** @type {string} */ text) => {
    setText(text);
    typing?.onText(text);
  };
  const query = plainText(typed).trim();
  const hits = query ? findAromas(query, ownBefore, SUGGESTION_COUNT) : suggested;
  const exact = hits.some((aroma) => plainText(aromaText(aroma)).trim() === query);
  const add = (/** @type {string | null} */ aroma, /** @type {(aroma: string) => void} */ note) => {
    if (aroma) note(aroma);
    setAdded(query && aroma ? t('pour.word_noted', { word: aromaText(aroma) }) : '');
    setTyped('');
  };
  const pick = (/** @type {string} */ aroma) => add(aroma, onTap);
  const own = () => add(customEntry(typed), onOwn);
  // What was found goes away with its button; a finger has no use for the field, which would bring up the keys.
  const backToField = (/** @type {MouseEvent} */ { detail }) => {
    if (query && !detail) field.current?.focus();
  };
  const enter = (/** @type {KeyboardEvent} */ event) => {
    if (event.key !== 'Enter' || !query) return;
    event.preventDefault();
    if (hits[0] && (exact || hits.length === 1)) pick(hits[0]);
    else own();
  };
  return html`<div class="field"><label><span class="unseen">${t('pour.find_aroma')}</span>
      <input type="search" ref=${field} value=${typed} placeholder=${t('pour.find_aroma')} autocomplete="off"
          enterkeyhint="done" onKeyDown=${enter}
          onInput=${(/** @type {Event} */ event) => setTyped(/** @type {HTMLInputElement} */ (event.target).value)} />
      </label>
      </div>
    <p class="unseen" role="status">${query ? t('pour.words_found', { count: hits.length }) : added}</p>
    ${
      hits.length > 0 &&
      html`<div class="choices" role="group" onClickCapture=${backToField}
        aria-label=${t(query ? 'pour.found_words' : 'pour.near_words')}>
      ${hits.map((aroma) => html`<${AromaChip} key=${aroma} aroma=${aroma} noted=${noted} onTap=${pick} />`)}
    </div>`
    }
    ${!query && html`<${OwnWords} words=${ownBefore.slice(0, OWN_COUNT)} noted=${noted} onTap=${onTap} />`}
    ${
      query &&
      !exact &&
      html`<button type="button" class="button own-word" onClickCapture=${backToField} onClick=${own}>
      ${t('pour.add_own', { words: typed.trim() })}
    </button>`
    }`;
}

/** @param {{ words: string[], noted: string[] | null | undefined, onTap: (word: string) => void }} props */
function OwnWords({ words, noted, onTap }) {
  if (!words.length) return null;
  return html`<div role="group" aria-label=${t('pour.own_words')}>
    <p class="label">${t('pour.own_words')}</p>
    <div class="choices">${words.map(
      (word) => html`<${AromaChip} key=${word} aroma=${word} noted=${noted} onTap=${onTap} />`,
    )}</div>
  </div>`;
}
