// After the tasting: every glass with its label, and the guest's own notes to take away.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { ownNotes, notesAsJson, takeable, takeIntoNotebook } from '../../domain/guest/take_away.js';
import { notesAsText } from '../../domain/guest/notes_text.js';
import { glassesOf } from '../../domain/guest/place.js';
import { answersByGlass, seat, updateSeat, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { glassName, GlassRow } from './glass_row.js';
import { GlassOverview } from './glass_overview.js';
import { GuestPage } from './guest_page.js';
import { StepView } from './step_view.js';
import { TableMenu } from './table_menu.js';

/** @typedef {import('../../domain/guest/guest_store.js').Seat} Seat */

export function AfterPage() {
  const open = seat.value;
  const [chosen, setChosen] = useState(/** @type {import('./taste_page.js').Shown | null} */ (null));
  if (!open) return null;
  const { view, state } = open;
  const glass = glassesOf(view).find(({ id }) => id === chosen?.glass);
  const title = glass ? glassName(glass) : view['table']?.name || t('guest.welcome');
  const choose = (/** @type {import('./taste_page.js').Shown | null} */ next) => {
    setChosen(next);
    scrollTo(0, 0);
  };
  return html`<${GuestPage} title=${title}>
    <${GlassRow} view=${view} current=${glass?.id ?? ''} open=""
      onChoose=${(/** @type {string} */ id) => choose({ glass: id, step: null })} />
    ${glass && chosen?.step && html`<${StepView} view=${view} glass=${glass} step=${chosen.step} onChoose=${choose} />`}
    ${glass && !chosen?.step && html`<${GlassOverview} view=${view} glass=${glass} onChoose=${choose} />`}
    ${glass && html`<button type="button" class="button" onClick=${() => choose(null)}>${t('guest.to_end')}</button>`}
    ${
      !glass &&
      html`<p class="voice guide">${t(endKey(state), {
        leader: view['table']?.leader_name || t('guest.the_leader'),
      })}</p><${TakeAway} open=${open} /><${TableMenu} isByCodes=${open.origin === 'qr'} />`
    }
  <//>`;
}

/** @param {Seat['state']} state */
function endKey(state) {
  return state === 'removed' ? 'guest.removed' : 'guest.ended';
}

/** @param {{ open: Seat }} props */
export function TakeAway({ open }) {
  const [problem, setProblem] = useState(false);
  const notes = ownNotes(open, valuesOfGlass, answersByGlass());
  const mine = takeable(open, notes);
  const covered = notes.filter(({ glass }) => !glass.bottle).length;
  const take = () =>
    takeIntoNotebook(open, mine).then(
      () => {
        setProblem(false);
        showToast(t('guest.taken', { count: mine.length }));
        return updateSeat(open.table, ({ taken }) => ({ taken: [...taken, ...mine.map(({ glass }) => glass.id)] }));
      },
      () => setProblem(true),
    );
  if (!notes.length) return html`<p class="soft">${t('guest.nothing_noted')}</p>`;
  const title = open.view['table']?.name || t('guest.welcome');
  return html`<section class="guest-part"><h2>${t('guest.take_away')}</h2>
    <p>${t('guest.take_what')}</p>
    ${problem && html`<p class="field-error" role="alert">${t('guest.take_failed')}</p>`}
    <div class="buttons">
      ${
        mine.length > 0 &&
        html`<button type="button" class="button primary" onClick=${take}>
        ${t('guest.take', { count: mine.length })}</button>`
      }
      ${open.taken.length > 0 && html`<a class="button" href="#/book">${t('guest.see_book')}</a>`}
    </div>
    ${covered > 0 && html`<p class="soft small">${t('guest.still_covered', { count: covered })}</p>`}
    <div class="buttons"><button type="button" class="button plain"
        onClick=${() => download('notes.txt', 'text/plain', notesAsText(title, notes))}>${t('guest.as_text')}</button>
      <button type="button" class="button plain"
        onClick=${() => download('notes.json', 'application/json', notesAsJson(open, notes))}>
        ${t('guest.as_data')}</button></div>
  </section>`;
}

/** @param {string} name @param {string} type @param {string} text */
function download(name, type, text) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
