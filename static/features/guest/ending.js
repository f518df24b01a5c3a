// The results that everyone at the table sees: the glasses by liking with the own liking beside it, and the hidden
// duplicate. The server sends them once the leader has opened them.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list, number } from '../../lib/format.js';
import { wineName } from '../../domain/bottle_names.js';
import { namedPair } from '../../domain/guest/own_guesses.js';
import { glassesOf } from '../../domain/guest/place.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';
import { glassName } from './glass_row.js';

/** @typedef {import('../../domain/guest/guest_store.js').View} View */
/**
 * @typedef {{ glass: string, count: number, mean: number, median: number, place: number | null }}
 *   Liked `place`: glasses liked alike share it; null if too few rated the glass */
/** @typedef {{ glasses: [string, string], found: number, tried: number, names: string[] | null }} Duplicate */

/** @param {{ open: import('../../domain/guest/guest_store.js').Seat }} props */
export function Ending({ open: { view } }) {
  const { order = [], duplicate = null } = view['results'] ?? {};
  const isPart = order.length < glassesOf(view).length;
  return html`<section class="guest-part guest-ending"><h2>${t('guest.results')}</h2>
    ${
      order.length
        ? html`<ol class="ruled">${order.map(
            (/** @type {Liked} */ liked) => html`<${LikedGlass} key=${liked.glass} view=${view} liked=${liked} />`,
          )}</ol>
        ${isPart && html`<p class="soft small">${t('guest.results_part')}</p>`}`
        : html`<p class="soft">${t('guest.results_none')}</p>`
    }
    ${duplicate && html`<${FoundDuplicate} view=${view} duplicate=${duplicate} />`}
  </section>`;
}

/** @param {{ view: View, liked: Liked }} props */
function LikedGlass({ view, liked: { glass: id, median, place } }) {
  const glass = glassesOf(view).find((each) => each.id === id);
  if (!glass) return null;
  const own = valuesOfGlass(id)['liking'];
  return html`<li class="guest-liked"><span class="figure" aria-hidden="true">${place}</span>
    <span><span class="name">${nameOf(glass)}</span>
      <span>${t('guest.results_table', { words: likingWords(median), median: number(median) })}</span>
      ${place === null && html`<span class="soft">${t('table.few_rated')}</span>`}
      <span class="soft">${
        own ? t('guest.results_you', { words: likingWords(own), liking: number(own) }) : t('guest.results_you_none')
      }</span></span></li>`;
}

/** @param {import('../../domain/guest/place.js').GuestGlass} glass */
function nameOf(glass) {
  const name = glassName(glass);
  return glass.bottle ? t('guest.glass_wine', { glass: name, wine: wineName(glass.bottle) }) : name;
}

/** @param {number} liking a half is between two words */
function likingWords(liking) {
  return [...new Set([Math.floor(liking), Math.ceil(liking)])].map((each) => t(`liking.${each}`)).join(' / ');
}

/** @param {{ view: View, duplicate: Duplicate }} props */
function FoundDuplicate({ view, duplicate: { glasses, found, names } }) {
  const marks = glasses.map((id) => glassesOf(view).find((glass) => glass.id === id)?.mark ?? '');
  const own = namedPair(view, valuesOfGlass);
  const isFound = own !== null && [...glasses].sort().join() === own.join();
  const key = isFound ? 'you_found' : own ? 'you_missed' : 'you_open';
  const who =
    found === 0
      ? t('guest.duplicate_nobody')
      : names
        ? t('guest.duplicate_by', { names: list(names) })
        : t('guest.duplicate_count', { count: found });
  return html`<h3>${t('guest.duplicate')}</h3>
    <p>${t('guest.duplicate_were', { one: marks[0] ?? '', other: marks[1] ?? '' })} ${t(`guest.duplicate_${key}`)}</p>
    <p class="soft">${who}</p>`;
}
