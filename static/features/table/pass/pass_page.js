// The phone that goes round: one person at a time fills in one glass, then passes the phone on.
// Nobody sees the answers of others, and what was passed on does not open again.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { toTop } from '../../../router.js';
import spec from '../../../spec/group_steps.json' with { type: 'json' };
import { whenIdle } from '../../../domain/pour/autosave_queue.js';
import { TextField } from '../../../components/form/field.js';
import { Row } from '../../../components/layout/row.js';
import { addGuest } from '../../../domain/table/edits.js';
import { stateOf } from '../../../domain/table/flow.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { tableName } from '../../../domain/table/table_name.js';
import { guidanceText } from '../set/guidance_fields.js';
import { GlassMark } from '../glass_mark.js';
import { SheetStep } from '../sheet_steps.js';
import { useFrequentSync } from '../frequent_sync.js';
import { keepPassing, nextGlass, openSteps, passing, passingOf } from './pass_state.js';
import { useRootClass } from '../../../components/layout/root_class.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../store/record.js').Row} GuestRow */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {import('./pass_state.js').Passing} Passing */

/** @param {{ table: TableRecords }} props */
export function PassPage({ table }) {
  const [isRead, setRead] = useState(false);
  useEffect(() => {
    passing.restore().finally(() => setRead(true));
  }, []);
  useFrequentSync(!table.row?.fields['ended_at']);
  if (!isRead) return html`<${Frame} title=${tableName(table.row?.fields ?? {})} />`;
  const state = passingOf(table.row?.id ?? '');
  const guest = table.guests.find(({ id }) => id === state.now?.guest);
  const glass = table.glasses.find(({ id }) => id === state.now?.glass);
  return state.now && guest && glass
    ? html`<${OwnTurn} key=${`${state.now.glass}/${state.now.step}`} table=${table} state=${state} guest=${guest}
      glass=${glass} step=${state.now.step} />`
    : html`<${Hands} table=${table} state=${state} />`;
}

/**
 * Draw a page without the menu and a way back, because a guest has the phone.
 * @param {{ title: string, children?: unknown }} props
 */
function Frame({ title, children }) {
  useRootClass('without-nav');
  return html`<main class="page table-pass" id="page"><header class="page-head"><h1>${title}</h1></header>
    ${children}</main>`;
}

/** Return how long answers are kept. @param {Record<string, any>} fields of the table */
function keptText({ keep_guests: isKept, leader_name: leader }) {
  return isKept
    ? t('guest.kept_by_leader', { leader: leader || t('guest.the_leader') })
    : t('guest.kept_days', { count: spec.kept_days });
}

/** @param {Record<string, any>} fields of the table */
function hostName({ leader_name: name }) {
  return name ? t('table.pass_host', { name }) : t('table.pass_host_nameless');
}

/** Choose who has the phone now. @param {{ table: TableRecords, state: Passing }} props */
function Hands({ table, state }) {
  const [name, setName] = useState(/** @type {string | null} */ (null));
  const fields = table.row?.fields ?? {};
  const passed = table.guests.filter(({ fields: { entry } }) => entry === 'passed');
  const nameOf = nameAmong(table.guests);
  const host = table.guests.find(({ fields: { entry } }) => entry === 'leader');
  const take = (/** @type {Pick<GuestRow, 'id' | 'fields'>} */ guest) => {
    const glass = nextGlass(table, guest, state.done);
    const step = glass && openSteps(table, guest, glass)[0];
    if (glass && step) keepPassing({ ...state, now: { guest: guest.id, glass: glass.id, step } });
  };
  const add = async () => {
    const typed = name?.trim();
    if (!typed) return;
    setName(null);
    take(await addGuest(table, 'passed', typed));
  };
  const takeAsHost = async () => take(host ?? (await addGuest(table, 'leader', fields['leader_name'] ?? null)));
  const isOver = stateOf(table) === 'ended';
  const place = (/** @type {GuestRow | undefined} */ guest) => {
    const glass = guest && nextGlass(table, guest, state.done);
    return glass ? t('table.glass', { mark: glass.fields['mark'] ?? '' }) : t('table.pass_done');
  };
  const isHostDone = host && !nextGlass(table, host, state.done);
  return html`<${Frame} title=${t('table.pass_hands')}>
    <p class="voice guide">${t('table.pass_guide')}</p>
    <p class="soft small">${keptText(fields)}</p>
    <ul class="ruled">${passed.map(
      (guest) => html`<li key=${guest.id}><${Row} name=${nameOf(guest)}
        disabled=${!nextGlass(table, guest, state.done)} onClick=${() => take(guest)} line=${place(guest)} /></li>`,
    )}
    ${
      !isOver &&
      html`<li><${Row} name=${hostName(fields)}
        disabled=${isHostDone} onClick=${takeAsHost} line=${host ? place(host) : null} /></li>`
    }</ul>
    ${
      isOver
        ? html`<p class="notice">${t('table.pass_over')}</p>`
        : html`<${TextField} label=${t('table.pass_name')} value=${name} maxLength=${60} autocapitalize="words"
          onChange=${setName} />
        <button type="button" class="button" disabled=${!name?.trim()} onClick=${add}>${t('table.pass_add')}</button>`
    }
    <${AtThumb}><a class="button" href=${`#/table/${table.row?.id}`}>${t('table.pass_leave')}</a><//>
  <//>`;
}

/**
 * @param {{ table: TableRecords, state: Passing, guest: GuestRow, glass: GuestRow, step: string }} props
 */
function OwnTurn({ table, state, guest, glass, step }) {
  const steps = openSteps(table, guest, glass);
  const next = steps[steps.indexOf(step) + 1];
  const goOn = async () => {
    await whenIdle();
    toTop();
    await keepPassing(
      next
        ? { ...state, now: { guest: guest.id, glass: glass.id, step: next } }
        : { ...state, now: null, done: [...state.done, `${guest.id}/${glass.id}`] },
    );
  };
  return html`<${Frame} title=${nameAmong(table.guests)(guest)}>
    <p class="table-where"><${GlassMark} mark=${glass.fields['mark']} />
      <span class="soft">${t(`group_step.${step}`)}</span></p>
    <p class="voice guide">${guidanceText(table.row?.fields ?? {}, step)}</p>
    <${SheetStep} table=${table} guest=${guest} glass=${glass.id} step=${step} />
    <${AtThumb}><button type="button" class="button primary" onClick=${goOn}>
      ${next ? t('table.next_step', { step: t(`group_step.${next}`) }) : t('table.pass_on')}</button><//>
  <//>`;
}
