// What the table says: order by liking, agreement, steadiness and closeness of tastes. Codes and
// numbers come from the rules; this page gives them words.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { list, number } from '../../../lib/format.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { Page } from '../../shell/page.js';
import { tableSummary } from '../../../rules/table/table_summary.js';
import { ledTable } from '../../../domain/table/led_table.js';
import { stateOf } from '../../../domain/table/flow.js';
import { tableName } from '../../../domain/table/table_name.js';
import { glassName } from '../lead/glasses.js';
import { DeleteTable } from '../delete_table.js';
import { RememberGuests } from '../people.js';
import { ResultsShare } from './results_share.js';
import { TasteMap } from './taste_map.js';

/** @typedef {import('../../../rules/table/table_summary.js').TableSummary} TableSummary */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {{ summary: TableSummary, glass: (id: string) => string, guest: (id: string) => string }} Part */

const LEAST_P = 0.001;

/** @param {{ table: TableRecords }} props */
export function ResultsPage({ table }) {
  const shown = useMemo(() => openOnly(table), [table]);
  const summary = useMemo(() => tableSummary(ledTable(shown)), [shown]);
  const names = namesOf(shown);
  const all = namesOf(table);
  const home = `/table/${table.row?.id}`;
  const isOver = stateOf(table) === 'ended';
  const waiting = table.glasses.length - shown.glasses.length;
  return html`<${Page} title=${t('table.results')} back=${isOver ? '/table' : home} trailing="">
    <p class="voice guide">${tableName(table.row?.fields ?? {})}
      <span class="soft small"> ${t('table.counts', {
        guests: summary.counts.guests,
        glasses: summary.counts.glasses,
      })}</span></p>
    ${waiting > 0 && html`<p class="notice">${t('table.results_waiting', { count: waiting })}</p>`}
    <${Order} summary=${summary} ...${names} />
    <${Scales} summary=${summary} ...${names} />
    <${Steadiness} summary=${summary} ...${names} />
    <${TasteMap} tastes=${summary.tastes} guest=${names.guest} />
    <section class="table-part"><h2>${t('table.glasses')}</h2><ul class="ruled">${table.glasses.map(
      (glass) => html`<li key=${glass.id}><${ArrowRow} href=${`#${home}/talk/${glass.id}`}
        name=${all.glass(glass.id)} /></li>`,
    )}</ul></section>
    <${RememberGuests} guests=${table.guests} />
    <${ResultsShare} table=${shown} summary=${summary} ...${names} />
    ${isOver && html`<${DeleteTable} table=${table} />`}
  <//>`;
}

/**
 * Only what may be seen: the leader does not see the likings of a glass before its answers are laid open.
 * @param {TableRecords} table
 * @returns {TableRecords}
 */
function openOnly(table) {
  if (stateOf(table) === 'ended') return table;
  return { ...table, glasses: table.glasses.filter(({ fields }) => fields['discussed_at']) };
}

/** @param {TableRecords} table */
function namesOf(table) {
  const input = ledTable(table);
  const isNamed = table.row?.fields['names_shown'] === true;
  return {
    glass: (/** @type {string} */ id) => {
      const row = table.glasses.find((glass) => glass.id === id);
      const mark = row?.fields['mark'] ?? '';
      const name = row ? glassName(table, row) : '';
      return name === t('table.glass', { mark }) ? name : t('table.glass_named', { mark, name });
    },
    guest: (/** @type {string} */ id) =>
      isNamed
        ? (input.guests.find((guest) => guest.id === id)?.name ?? '')
        : t('table.guest_number', { number: input.guests.findIndex((guest) => guest.id === id) + 1 }),
  };
}

/** @param {Part} props */
function Order({ summary: { ranking }, glass }) {
  const { status, order, used, w, p, reading, told_apart: pairs } = ranking;
  if (!order.length)
    return html`<section class="table-part"><h2>${t('table.order_liking')}</h2>
    <p class="soft">${t('table.no_likings')}</p></section>`;
  return html`<section class="table-part"><h2>${t('table.order_liking')}</h2>
    <ol class="ruled">${order.map(
      ({ glass: id, rank_sum, median }, at) => html`<li key=${id} class="table-aroma">
      <span class="grow"><span class="figure soft">${at + 1}.</span> <span class="name">${glass(id)}</span></span>
      <span class="soft small">${
        rank_sum === null
          ? t('table.median', { median: number(median) })
          : t('table.rank_sum', { sum: number(rank_sum) })
      }</span></li>`,
    )}</ol>
    ${
      status === 'tested'
        ? html`<p>${t(`table.agreement_${reading}`)} <span class="soft small">${t('table.agreement_figures', {
            w: number(w ?? 0, 2),
            p: pText(p ?? 1),
            count: used.length,
          })}</span></p>
      <p>${pairs.length ? t('table.pairs', { pairs: pairText(pairs, glass) }) : t('table.pairs_none')}</p>`
        : html`<p>${t(`table.untested_${status}`)}</p>`
    }</section>`;
}

/** @param {number} p */
function pText(p) {
  return p < LEAST_P ? `< ${number(LEAST_P, 3)}` : number(p, 3);
}

/** @param {{ better: string, worse: string }[]} pairs @param {(id: string) => string} glass */
function pairText(pairs, glass) {
  return list(pairs.map(({ better, worse }) => t('table.pair', { better: glass(better), worse: glass(worse) })));
}

/** @param {Part} props */
function Scales({ summary: { scales } }) {
  const measured = scales.filter(({ status }) => status === 'measured');
  if (!scales.length) return null;
  return html`<section class="table-part"><h2>${t('table.scales_agreement')}</h2>
    ${
      measured.length
        ? html`<p class="soft small">${t('table.scales_agreement_note')}</p>
      <dl class="table-facts">${measured.map(
        ({ field, icc, reading }) => html`<div key=${field}><dt>${t(`scale.${field}`)}</dt>
        <dd>${t(`table.icc_${reading}`)} <span class="soft small">${t('table.icc', { icc: number(icc ?? 0, 2) })}</span>
        </dd></div>`,
      )}</dl>`
        : html`<p>${t('table.scales_too_few')}</p>`
    }</section>`;
}

/** @param {Part} props */
function Steadiness({ summary: { duplicate }, glass, guest }) {
  if (!duplicate) return null;
  const [one, other] = duplicate.glasses;
  const { found, missed, test } = duplicate;
  return html`<section class="table-part"><h2>${t('table.steadiness')}</h2>
    <p>${t('table.steadiness_note', { one: glass(one), other: glass(other) })}</p>
    ${
      found.length + missed.length > 0 &&
      html`<p>${
        found.length ? t('table.duplicate_found', { names: list(found.map(guest)) }) : t('table.duplicate_missed')
      } <span class="soft small">${t('table.duplicate_chance', {
        count: found.length + missed.length,
        p: pText(test.p),
      })}</span></p>
      <p>${t(`table.duplicate_${test.reading}`)}</p>`
    }
    <dl class="table-facts">${duplicate.guests.map(
      ({ guest: id, reading, share }) => html`<div key=${id}><dt>${guest(id)}</dt>
      <dd>${t(`table.steady_${reading}`)} ${
        share !== null && html`<span class="soft small">${t('table.steady_share', { share: number(share, 2) })}</span>`
      }</dd></div>`,
    )}</dl></section>`;
}
