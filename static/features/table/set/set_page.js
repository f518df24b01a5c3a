// Sets a table: glasses, order, what is asked, and what guests are told.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { list } from '../../../lib/format.js';
import { Choice, Choices } from '../../../components/form/choice.js';
import { TextField } from '../../../components/form/field.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { showToast } from '../../../components/layout/toast.js';
import { Page } from '../../shell/page.js';
import { ownRepeats, pouredTwice } from '../../../domain/table/arrange.js';
import { areLabelsHidden } from '../../../domain/table/covered.js';
import { changeTable, pourOnce, pourTwice, startTable } from '../../../domain/table/edits.js';
import { stateOf } from '../../../domain/table/flow.js';
import { areGuessesAsked, canGuess, GROUP_STEPS, inOrder } from '../../../domain/table/steps.js';
import { useOverlay } from '../../../domain/table/overlay.js';
import { tableName } from '../../../domain/table/table_name.js';
import { bottleOf } from '../../../domain/table/table_records.js';
import { missingTruths, TRUTHS } from '../../../domain/table/truth.js';
import { DeleteTable } from '../delete_table.js';
import { goAfter } from '../go_after.js';
import { GlassList } from './glass_list.js';
import { GuidanceFields } from './guidance_fields.js';
import { STEP_SETS } from './lessons.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {Record<string, any>} Fields */
/** @typedef {{ table: TableRecords, fields: Fields, change: (fields: Fields) => void }} Part */

/** @param {{ table: TableRecords }} props */
export function SetPage({ table }) {
  const [fields, patch] = useOverlay(table.row?.id ?? '', table.row?.fields ?? {});
  const isNew = stateOf(table) === 'new';
  const change = (/** @type {Fields} */ changed) => {
    patch(changed);
    return changeTable(table, changed);
  };
  const begin = () => goAfter(startTable(table, fields), `/table/${table.row?.id}/lead`);
  const home = `/table/${table.row?.id}`;
  return html`<${Page} title=${tableName(fields)} back=${isNew ? '/table' : home} trailing="">
    <${TextField} label=${t('table.name')} value=${fields['name']} className="name-input" maxLength=${120}
      placeholder=${t('table.name_placeholder')} onChange=${(/** @type {string | null} */ name) => change({ name })} />
    <${TextField} label=${t('table.leader_name')} value=${fields['leader_name']} maxLength=${60}
      note=${t('table.leader_name_note')}
      onChange=${(/** @type {string | null} */ name) => change({ leader_name: name })} />
    ${fields['words'] && html`<p class="table-notes">${fields['words']}</p>`}
    <${GlassList} table=${table} isOpen=${isNew} />
    ${isNew && html`<${Pouring} table=${table} fields=${fields} change=${change} />`}
    <${Asking} table=${table} fields=${fields} change=${change} />
    <${Sharing} table=${table} fields=${fields} change=${change} />
    <${Disclosure} label=${t('table.guidance_own')}><${GuidanceFields} fields=${fields} change=${change} /><//>
    <${Disclosure} label=${t('table.notes')}><${Notes} table=${table} fields=${fields} change=${change} /><//>
    <p class="field-note">${t('pour.caution')}</p>
    <${DeleteTable} table=${table} />
    <${AtThumb}>${
      isNew
        ? html`<a class="button" href=${`#${home}/invite`}>${t('table.invite')}</a>
        <button type="button" class="button primary" disabled=${table.glasses.length === 0} onClick=${begin}>
          ${t('table.start')}</button>`
        : html`<a class="button primary" href=${`#${home}`}>${t('table.back_to_table')}</a>`
    }<//>
  <//>`;
}

/**
 * @param {{ label: string, value: boolean, yes: string, no: string, note?: string, onChange: (value: boolean) => void
 *   }} props
 */
function YesNo({ label, value, yes, no, note, onChange }) {
  return html`<${Choice} label=${label} note=${note} value=${value ? 'yes' : 'no'} options=${[
    { id: 'yes', label: yes },
    { id: 'no', label: no },
  ]} onChange=${(/** @type {string | null} */ chosen) => onChange(chosen === null ? value : chosen === 'yes')} />`;
}

/** @param {Part} props */
function Pouring({ table, fields, change }) {
  const orders = ['listed', 'drawn', 'balanced'].map((id) => ({ id, label: t(`glass_order.${id}`) }));
  const choose = (/** @type {string | null} */ order) => {
    if (order) change({ order });
  };
  return html`<${Choice} label=${t('table.order')} options=${orders} value=${fields['order'] ?? 'listed'}
      note=${fields['order'] === 'balanced' ? t('table.order_balanced_note') : undefined} onChange=${choose} />
    <${YesNo} label=${t('table.labels')} yes=${t('table.labels_covered')} no=${t('table.labels_shown')}
      value=${areLabelsHidden(fields)}
      onChange=${(/** @type {boolean} */ covered) => change({ labels_hidden: covered })} />
    <${Twice} table=${table} />`;
}

/**
 * Pour one wine twice. The leader is told where, because only the leader pours.
 * @param {{ table: TableRecords }} props
 */
function Twice({ table }) {
  const twice = pouredTwice(table.glasses);
  const isTwice = twice !== null;
  const marks = twice && { mark: twice.second.fields['mark'] ?? '', first: twice.first.fields['mark'] ?? '' };
  const change = async (/** @type {boolean} */ wanted) => {
    if (wanted === isTwice) return;
    if (!wanted) {
      showToast(t('table.twice_gone'), await pourOnce(table));
      return;
    }
    const poured = await pourTwice(table);
    if (poured) showToast(t('table.twice_poured', { mark: poured.mark }), poured.undo);
  };
  if (!table.glasses.some(({ fields }) => fields['bottle'])) return null;
  const yes = marks ? t('pour.yes') : t('table.twice_one');
  const no = marks ? t('table.twice_remove', marks) : t('table.twice_none');
  return html`<${YesNo} label=${t('table.twice')} note=${t('table.twice_note')} yes=${yes} no=${no}
      value=${isTwice} onChange=${change} />
    ${marks && html`<p class="notice" role="status">${t('table.twice_where', marks)}</p>`}
    ${ownRepeats(table.glasses).map((same) => {
      const glasses = list(same.map(({ fields }) => fields['mark'] ?? ''));
      return html`<p class="field-note" key=${same[0]?.id}>${t('table.twice_own', { glasses })}</p>`;
    })}`;
}

/** @param {Part} props */
function Asking({ table, fields, change }) {
  const paces = ['led', 'free'].map((id) => ({ id, label: t(`pace.${id}`) }));
  const isBalanced = fields['order'] === 'balanced';
  // Steps that were closed cannot be asked anew.
  return html`${stateOf(table) === 'new' && html`<${Steps} table=${table} fields=${fields} change=${change} />`}
    ${
      // What closed for a place would close for a glass.
      (stateOf(table) === 'new' || !isBalanced) &&
      html`<${Choice} label=${t('table.pace')} options=${paces} value=${fields['pace'] ?? 'led'}
      note=${isBalanced && fields['pace'] !== 'free' ? t('table.pace_by_place') : undefined}
      onChange=${(/** @type {string | null} */ pace) => pace && change({ pace })} />`
    }
    ${
      canGuess(fields) &&
      html`<${YesNo} label=${t('table.ask_guesses')} note=${t('table.ask_guesses_note')} yes=${t('pour.yes')}
      no=${t('pour.no')} value=${fields['ask_guesses'] !== false}
      onChange=${(/** @type {boolean} */ asked) => change({ ask_guesses: asked })} />`
    }
    <${Unjudged} table=${table} fields=${fields} />`;
}

/** Show for each guess the glasses whose truth nobody noted. @param {Pick<Part, 'table' | 'fields'>} props */
function Unjudged({ table, fields }) {
  const without = table.glasses.flatMap((glass) => {
    const bottle = bottleOf(table, glass);
    return bottle ? [{ mark: glass.fields['mark'] ?? '', missing: missingTruths(bottle.fields) }] : [];
  });
  const rows = TRUTHS.map((truth) => ({
    truth,
    marks: without.flatMap(({ mark, missing }) => (missing.includes(truth) ? [mark] : [])),
  })).filter(({ marks }) => marks.length);
  if (!areGuessesAsked(fields) || !rows.length) return null;
  return html`<p class="field-note">${t('table.truths_where')} ${rows
    .map(({ truth, marks }) => t('table.truths_of', { name: t(`table.truth_${truth}`), glasses: list(marks) }))
    .join(' \u00b7 ')}</p>`;
}

/** @param {Part} props */
function Steps({ fields, change }) {
  const steps = inOrder(fields['steps']);
  const known = Object.entries(STEP_SETS).find(([, set]) => set.join() === steps.join());
  const options = Object.keys(STEP_SETS).map((id) => ({ id, label: t(`table.steps_${id}`) }));
  // "Rating only" means that guests are asked for nothing else, until the leader asks for guesses.
  const choose = (/** @type {keyof typeof STEP_SETS | null} */ id) => {
    if (!id) return;
    const wasRatingOnly = known?.[0] === 'liking';
    const guesses = wasRatingOnly !== (id === 'liking') && { ask_guesses: wasRatingOnly };
    change({ steps: STEP_SETS[id], ...guesses });
  };
  return html`<${Choice} label=${t('table.steps')} options=${options} value=${known?.[0] ?? null}
      onChange=${choose} />
    <${Disclosure} label=${t('table.steps_own')}>
      <${Choices} label=${t('table.steps_own')} hideLabel=${true} value=${steps}
        options=${GROUP_STEPS.map((id) => ({ id, label: t(`group_step.${id}`) }))}
        onChange=${(/** @type {string[] | null} */ chosen) => chosen && change({ steps: inOrder(chosen) })} /><//>`;
}

/**
 * Show what guests are told before they join. Once somebody has, it can only become more private.
 * @param {Part} props
 */
function Sharing({ table, fields, change }) {
  const areTold = table.guests.some((guest) => guest.fields['entry'] !== 'leader');
  const canChange = (/** @type {string} */ field) => !areTold || table.row?.fields[field] === true;
  return html`${
    canChange('names_shown') &&
    html`<${YesNo} label=${t('table.names')} yes=${t('table.names_shown')} no=${t('table.names_hidden')}
      value=${fields['names_shown'] === true}
      onChange=${(/** @type {boolean} */ shown) => change({ names_shown: shown })} />`
  }
    ${
      canChange('keep_guests') &&
      html`<${YesNo} label=${t('table.keep')} note=${t('table.keep_note')} yes=${t('table.keep_yes')}
      no=${t('table.keep_no')} value=${fields['keep_guests'] === true}
      onChange=${(/** @type {boolean} */ kept) => change({ keep_guests: kept })} />`
    }`;
}

/** @param {Part} props */
function Notes({ fields, change }) {
  return html`<${TextField} label=${t('table.notes')} long=${true} value=${fields['words']} maxLength=${4000}
    onChange=${(/** @type {string | null} */ words) => change({ words })} />`;
}
