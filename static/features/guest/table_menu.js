// What a guest can do besides tasting: look at notes and results, be remembered, show the answers as codes, leave.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { showToast } from '../../components/layout/toast.js';
import { ArrowRow, Row } from '../../components/layout/row.js';
import { Sheet } from '../../components/layout/sheet.js';
import { areResultsDue, leavingKey } from '../../domain/guest/place.js';
import { leaveTable } from '../../domain/guest/join_table.js';
import { hasAgreed, seat, unsentCount } from '../../domain/guest/seat_state.js';
import { LazySheet } from '../shell/lazy.js';
import { go } from './where.js';

const codesSheet = () => import('./codes_sheet.js').then(({ CodesSheet }) => CodesSheet);

const rememberSheet = () => import('./remember_sheet.js').then(({ RememberSheet }) => RememberSheet);

/** @param {{ isByCodes: boolean, hasNotes?: boolean, hasResults?: boolean }} props what can be looked at */
export function TableMenu({ isByCodes, hasNotes = false, hasResults = false }) {
  const [isAsked, setAsked] = useState(false);
  const [isShowing, setShowing] = useState(false);
  const [isLeaving, setLeaving] = useState(false);
  const open = seat.value;
  const leader = open?.view['table']?.leader_name || t('guest.the_leader');
  const to = (/** @type {'notes' | 'results'} */ page) => () => go(open?.table ?? '', page);
  return html`<section class="guest-part guest-menu">
    ${open && areResultsDue(open) && html`<p class="soft">${t('guest.results_later', { leader })}</p>`}
    ${
      isByCodes
        ? html`<button type="button" class="button primary" onClick=${() => setShowing(true)}>
            ${t('guest.show_codes')}</button>`
        : html`<${Row} className="ruled-row" name=${t('guest.show_codes')} line=${t('guest.show_codes_line')}
            onClick=${() => setShowing(true)} />`
    }
    ${hasResults && html`<${ArrowRow} className="ruled-row" name=${t('guest.results')} onClick=${to('results')} />`}
    ${hasNotes && html`<${ArrowRow} className="ruled-row" name=${t('guest.take_row')} onClick=${to('notes')} />`}
    <${Row} className="ruled-row" name=${t('guest.remember', { leader })} onClick=${() => setAsked(true)}
      line=${t(open && hasAgreed(open) ? 'guest.remember_on' : 'guest.remember_off')} />
    <${Row} className="ruled-row" name=${t('guest.leave')} onClick=${() => setLeaving(true)} />
    <${LazySheet} loader=${rememberSheet} open=${isAsked} onClose=${() => setAsked(false)} />
    <${LazySheet} loader=${codesSheet} open=${isShowing} onClose=${() => setShowing(false)} />
    <${Sheet} title=${t('guest.leave')} open=${isLeaving} onClose=${() => setLeaving(false)}><${Leave} /><//>
  </section>`;
}

function Leave() {
  const [problem, setProblem] = useState('');
  const open = seat.value;
  if (!open) return null;
  const leader = open.view['table']?.leader_name || t('guest.the_leader');
  const go = (/** @type {boolean} */ forget) =>
    leaveTable(open, { forget }).then(
      () => {
        showToast(t(forget ? 'guest.left_forgotten' : 'guest.left'));
        // The answer may come after the guest has opened another page.
        if (location.hash.startsWith(`#/guest/${open.table}`)) navigate('/guest', { replace: true });
      },
      ({ code }) =>
        setProblem(t(forget && code === 'guest_ended' ? 'guest.leave_kept' : 'guest.leave_failed', { leader })),
    );
  const isByCodes = open.origin === 'qr';
  // The server takes nothing more from this phone.
  const isUnsent = !isByCodes && open.state !== 'in' && unsentCount.value > 0;
  const key = isByCodes ? 'codes' : leavingKey(open);
  return html`<div class="guest-leave" data-once>
    ${problem && html`<p class="field-error" role="alert">${problem}</p>`}
    <p>${t(`guest.leave_${key}`, { leader })}</p>
    ${isUnsent && html`<p class="warm">${t('guest.leave_unsent', { count: unsentCount.value, leader })}</p>`}
    <button type="button" class="button" onClick=${() => go(false)}>
      ${t(isByCodes ? 'guest.leave_delete' : 'guest.leave_now')}</button>
    ${!isByCodes && open.state === 'removed' && html`<p>${t('guest.leave_kept', { leader })}</p>`}
    ${
      !isByCodes &&
      ['in', 'over'].includes(open.state) &&
      html`<p>${t('guest.leave_forget', { leader })}</p>
      <button type="button" class="button" onClick=${() => go(true)}>${t('guest.leave_delete')}</button>`
    }
  </div>`;
}
