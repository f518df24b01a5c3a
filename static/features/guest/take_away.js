// The guest's own notes, into this phone's notebook or as a file.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { giveFiles } from '../../domain/give_file.js';
import { showToast } from '../../components/layout/toast.js';
import { ownNotes, notesAsJson, takeable, takeIntoNotebook } from '../../domain/guest/take_away.js';
import { notesAsText, withoutLabelText } from '../../domain/guest/notes_text.js';
import { typedOfGlass } from '../../domain/guest/typed_words.js';
import { answersByGlass, updateSeat, valuesOfGlass } from '../../domain/guest/seat_state.js';
import { useServerTime } from './closing.js';

/** @typedef {import('../../domain/guest/guest_store.js').Seat} Seat */

/** @param {{ open: Seat }} props */
export function TakeAway({ open }) {
  const [problem, setProblem] = useState(false);
  const notes = ownNotes(open, valuesOfGlass, answersByGlass(), typedOfGlass);
  const { now: mine, later } = takeable(open, notes, useServerTime(open.view));
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
  return html`<div class="guest-take">
    ${(mine.length > 0 || open.taken.length > 0) && html`<p>${t('guest.take_what')}</p>`}
    ${problem && html`<p class="field-error" role="alert">${t('guest.take_failed')}</p>`}
    <div class="buttons">
      ${
        mine.length > 0 &&
        html`<button type="button" class="button primary" onClick=${take}>
        ${t('guest.take', { count: mine.length })}</button>`
      }
      ${open.taken.length > 0 && html`<a class="button" href="#/book">${t('guest.see_book')}</a>`}
    </div>
    ${later.length > 0 && html`<p class="soft small">${t('guest.take_later', { count: later.length })}</p>`}
    ${covered > 0 && html`<p class="soft small">${withoutLabelText(open, covered)}</p>`}
    <div class="buttons"><button type="button" class="button plain"
        onClick=${() => give('notes.txt', 'text/plain', notesAsText(title, notes, open.view))}>
        ${t('guest.as_text')}</button>
      <button type="button" class="button plain"
        onClick=${() => give('notes.json', 'application/json', notesAsJson(open, notes))}>
        ${t('guest.as_data')}</button></div>
  </div>`;
}

/** @param {string} name @param {string} type @param {string} text */
function give(name, type, text) {
  return giveFiles([new File([text], name, { type: `${type};charset=utf-8` })], t('guest.file_saved'));
}
