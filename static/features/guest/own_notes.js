// The guest's own notes of all glasses, and the ways to take them along.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { FactList } from '../../components/layout/fact_list.js';
import { wineName } from '../../domain/bottle_names.js';
import { factsOf } from '../../domain/guest/notes_text.js';
import { answersByGlass, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { ownNotes } from '../../domain/guest/take_away.js';
import { typedOfGlass } from '../../domain/guest/typed_words.js';
import { glassName } from './glass_row.js';
import { TakeAway } from './take_away.js';

/** @param {{ open: import('../../domain/guest/guest_store.js').Seat }} props */
export function OwnNotes({ open }) {
  const notes = ownNotes(open, valuesOfGlass, answersByGlass(), typedOfGlass);
  return html`<h2 class="guest-title">${t('guest.own_notes')}</h2>
    ${notes.map(
      ({ glass, values }) => html`<section key=${glass.id} class="guest-part"><h2>${glassName(glass)}</h2>
        ${glass.bottle && html`<p class="name">${wineName(glass.bottle)}</p>`}
        <${FactList} entries=${factsOf(values)} /></section>`,
    )}
    <section class="guest-part"><h2>${t('guest.take_away')}</h2><${TakeAway} open=${open} /></section>`;
}
