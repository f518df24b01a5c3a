// Invites guests: QR code, link and short code while the server can be reached; else the phone that
// goes round, or QR codes in both directions.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { QrCode } from '../../../lib/qr_draw.js';
import { Page } from '../../shell/page.js';
import { stateOf } from '../../../domain/table/flow.js';
import { tableName } from '../../../domain/table/table_name.js';
import { visitors } from '../../../domain/table/table_records.js';
import { useFrequentSync } from '../frequent_sync.js';
import { GuestList } from './guest_list.js';
import { closeInvitation, invite, inviteAgain, isLocalOnly } from './invitation.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('./invitation.js').Invitation} Invitation */
/** @typedef {{ invitation: Invitation | null, problem: string | null }} Asked */

/** @param {{ table: import('../../../domain/table/table_records.js').TableRecords }} props */
export function InvitePage({ table }) {
  const id = table.row?.id ?? '';
  const isOver = stateOf(table) === 'ended';
  const [{ invitation, problem }, setAsked] = useState(/** @type {Asked} */ ({ invitation: null, problem: null }));
  useFrequentSync(!isOver, visitors(table).length === 0);
  useEffect(() => {
    let left = false;
    if (isOver) return undefined;
    invite(id).then((asked) => {
      if (!left) setAsked(asked);
    });
    return () => {
      left = true;
    };
  }, [id, isOver]);
  const close = async () => {
    if (await closeInvitation(id)) setAsked({ invitation: null, problem: 'closed' });
    else showToast(t('table.invite_not_closed'));
  };
  const again = async () => setAsked(await inviteAgain(id));
  return html`<${Page} title=${t('table.invite')} back=${`/table/${id}`} trailing="">
    ${!isOver && invitation && html`<${Offer} table=${table} invitation=${invitation} onClose=${close} />`}
    ${!isOver && problem && html`<${Problem} problem=${problem} onRetry=${again} />`}
    ${!isOver && !invitation && !problem && html`<p class="soft" role="status">${t('table.invite_coming')}</p>`}
    <${GuestList} table=${table} />
    ${!isOver && html`<${OtherWays} id=${id} />`}
    <${AtThumb}><a class="button primary" href=${`#/table/${id}`}>${t('table.back_to_table')}</a><//>
  <//>`;
}

/** Show the ways without a network. @param {{ id: string }} props */
function OtherWays({ id }) {
  return html`<section class="table-part"><h2>${t('table.no_network')}</h2><ul class="ruled">
    <li><${ArrowRow} href=${`#/table/${id}/pass`} name=${t('table.pass')} line=${t('table.pass_line')} /></li>
    <li><${ArrowRow} href=${`#/table/${id}/codes`} name=${t('table.codes')} line=${t('table.codes_line')} /></li>
  </ul></section>`;
}

/**
 * @param {{ table: import('../../../domain/table/table_records.js').TableRecords, invitation: Invitation, onClose: ()
 *   => void }} props
 */
function Offer({ table, invitation, onClose }) {
  const url = `${location.origin}${invitation.path}`;
  const name = tableName(table.row?.fields ?? {});
  const share = async () => {
    const what = { title: name, text: t('table.invite_text', { name }), url };
    if (navigator.canShare?.(what)) {
      await navigator.share(what).catch(() => undefined);
      return;
    }
    await navigator.clipboard?.writeText(url);
    showToast(t('table.link_copied'));
  };
  return html`<p class="voice guide">${t('table.invite_guide')}</p>
    <div class="table-qr"><${QrCode} text=${url} label=${t('table.qr_label')} /></div>
    <dl class="table-code"><dt>${t('table.code')}</dt><dd class="name">${spaced(invitation.code)}</dd>
      <dd class="soft small">${t('table.code_where', { address: `${location.host}/t` })}</dd></dl>
    ${isLocalOnly() && html`<p class="warm small">${t('table.invite_local')}</p>`}
    <p class="soft small">${
      invitation.keeps_days === null
        ? t('table.guests_told_kept')
        : t('table.guests_told_days', { count: invitation.keeps_days })
    }</p>
    <div class="buttons"><button type="button" class="button" onClick=${share}>${t('table.share_link')}</button>
      <button type="button" class="button plain" onClick=${onClose}>${t('table.invite_close')}</button></div>`;
}

/** Divide a code into two groups, which are easier to read out. @param {string} code */
function spaced(code) {
  return `${code.slice(0, 3)}\u2009${code.slice(3)}`;
}

/** @param {{ problem: string, onRetry: () => void }} props */
function Problem({ problem, onRetry }) {
  return html`<p class="notice">${t(`table.invite_${problem}`)}</p>
    <div class="buttons"><button type="button" class="button" onClick=${onRetry}>
      ${t(problem === 'closed' ? 'table.invite_open' : 'pour.try_again')}</button></div>`;
}
