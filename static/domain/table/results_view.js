// What a table says, for the leader and for guests: plain sentences first, the figures with their proper terms folded.
// Codes and numbers come from the rules; this file gives them words.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list, number, percent } from '../../lib/format.js';
import { pText } from '../p_text.js';
import { Disclosure } from '../../components/layout/disclosure.js';

/** @typedef {import('../../rules/table/table_summary.js').TableSummary} TableSummary */
/** @typedef {(id: string) => string} NameOf */
/** @typedef {{ summary: TableSummary, glass: NameOf, guest: NameOf }} Part */
/** @typedef {{ name: string, value: string }} Figure */

/** Show the glasses by liking, and how far the table agreed. @param {Part} props */
export function OrderSection({ summary: { ranking, glasses }, glass }) {
  const { status, order, reading, told_apart: pairs } = ranking;
  const markOf = (/** @type {string} */ id) => glasses.find((one) => one.glass === id)?.mark ?? '';
  if (!order.length)
    return html`<section class="table-part"><h2>${t('table.order_liking')}</h2>
    <p class="soft">${t('table.no_likings')}</p></section>`;
  return html`<section class="table-part"><h2>${t('table.order_liking')}</h2>
    <p class="soft small">${t('table.order_note')}</p>
    <ol class="ruled">${order.map(
      ({ glass: id, median }, at) => html`<li key=${id} class="table-aroma">
      <span class="grow"><span class="figure soft">${isPlaced(order, at) && `${placeOf(order, at)}. `}</span>
        <span class="name">${glass(id)}</span></span>
      <span class="soft small">${ratingText(order, at, median)}</span></li>`,
    )}</ol>
    ${
      status === 'tested'
        ? html`<p>${t(`table.agreement_${reading}`)}</p>
          ${reading === 'agreed' && html`<p>${pairsText(pairs, glass)}</p>`}
          <${Figures} figures=${rankingFigures(ranking, markOf)} />`
        : html`<p>${t(`table.untested_${status}`)}</p>`
    }</section>`;
}

/**
 * Tell whether a glass has a place: the last ones have none if too few rated them.
 * @param {import('../../rules/table/table_summary.js').Ranking['order']} order
 * @param {number} at
 */
function isPlaced(order, at) {
  return order[at]?.rank_sum !== null || order[0]?.rank_sum === null;
}

/**
 * @param {import('../../rules/table/table_summary.js').Ranking['order']} order
 * @param {number} at
 * @param {number} median
 */
function ratingText(order, at, median) {
  const rating = t('table.middle_rating', { median: number(median) });
  return isPlaced(order, at) ? rating : `${rating} \u00b7 ${t('table.few_rated')}`;
}

/**
 * Return the place in the order; glasses liked alike share it.
 * @param {import('../../rules/table/table_summary.js').Ranking['order']} order
 * @param {number} at
 */
function placeOf(order, at) {
  const same = order[at];
  return 1 + order.findIndex(({ rank_sum, median }) => rank_sum === same?.rank_sum && median === same?.median);
}

/** @param {{ better: string, worse: string }[]} pairs @param {NameOf} glass */
function pairsText(pairs, glass) {
  if (!pairs.length) return t('table.pairs_none');
  const said = pairs.map(({ better, worse }) => t('table.pair', { better: glass(better), worse: glass(worse) }));
  return t('table.pairs', { pairs: list(said) });
}

/** @param {import('../../rules/table/table_summary.js').Ranking} ranking @param {NameOf} mark @returns {Figure[]} */
function rankingFigures({ f, w, p, method, glasses, used, order, least_difference: least }, mark) {
  const sums = order.flatMap(({ glass: id, rank_sum }) =>
    rank_sum === null ? [] : [t('table.fig_of', { name: mark(id), value: number(rank_sum) })],
  );
  const friedman = { f: number(f ?? 0, 2), df: glasses.length - 1, p: pText(p ?? 1) };
  return [
    figure('fig_people', number(used.length)),
    figure('fig_friedman', `${t('table.fig_friedman_value', friedman)} (${t(`table.fig_${method}`)})`),
    figure('fig_w', number(w ?? 0, 2)),
    figure('fig_rank_sums', sums.join(' \u00b7 ')),
    figure('fig_least_difference', number(least ?? 0)),
  ];
}

/** Show on which scales people place a glass alike. @param {Pick<Part, 'summary'>} props */
export function ScalesSection({ summary: { scales } }) {
  const measured = scales.filter(({ status }) => status === 'measured');
  if (!scales.length) return null;
  const figures = measured.map(({ field, icc }) => ({ name: t(`scale.${field}`), value: number(icc ?? 0, 2) }));
  return html`<section class="table-part"><h2>${t('table.scales_agreement')}</h2>
    ${
      measured.length
        ? html`<p class="soft small">${t('table.scales_note')}</p>
      <dl class="table-facts">${measured.map(
        ({ field, reading }) => html`<div key=${field}><dt>${t(`scale.${field}`)}</dt>
        <dd>${t(`table.icc_${reading}`)}</dd></div>`,
      )}</dl><${Figures} note=${t('table.fig_icc')} figures=${figures} />`
        : html`<p>${t('table.scales_too_few')}</p>`
    }</section>`;
}

/** Show the wine that was poured twice: who found it, and who answered alike. @param {Part} props */
export function TwiceSection({ summary: { duplicate, glasses }, glass, guest }) {
  if (!duplicate) return null;
  const markOf = (/** @type {string} */ id) => glasses.find((each) => each.glass === id)?.mark ?? '';
  const [one, other] = duplicate.glasses;
  const { found, missed, test, chance, guests } = duplicate;
  const tried = found.length + missed.length;
  const shares = guests.flatMap(({ guest: id, share }) =>
    share === null ? [] : [t('table.fig_of', { name: guest(id), value: number(share, 2) })],
  );
  const figures = [
    ...(tried ? [figure('fig_binomial', pText(test.p)), figure('fig_chance', percent(chance))] : []),
    ...(shares.length ? [figure('fig_share', shares.join(' \u00b7 '))] : []),
  ];
  return html`<section class="table-part"><h2>${t('table.steadiness')}</h2>
    <p>${t('table.steadiness_note', { one: glass(one), other: glass(other) })}</p>
    ${
      tried > 0 &&
      html`<p>${
        found.length ? t('table.duplicate_found', { names: list(found.map(guest)) }) : t('table.duplicate_missed')
      } ${t('table.duplicate_tried', { count: tried })} ${t(`table.duplicate_${test.reading}`)}</p>`
    }
    <dl class="table-facts">${guests.map(
      ({ guest: id, likings, reading }) => html`<div key=${id}><dt>${guest(id)}</dt>
      <dd>${[likings && ratedText(likings, duplicate.glasses.map(markOf)), t(`table.steady_${reading}`)]
        .filter(Boolean)
        .join(' \u00b7 ')}</dd></div>`,
    )}</dl><${Figures} figures=${figures} /></section>`;
}

/** Return what somebody rated the two glasses. @param {[number, number]} likings @param {string[]} marks */
function ratedText([first, second], [one = '', other = '']) {
  return t('table.rated_both', { one, other, first: number(first), second: number(second) });
}

/**
 * Show the numbers behind the sentences, for those who want them.
 * @param {{ figures: Figure[], note?: string }} props
 */
export function Figures({ figures, note = '' }) {
  if (!figures.length) return null;
  return html`<${Disclosure} label=${t('table.figures')}>${note && html`<p class="soft small">${note}</p>`}
    <dl class="table-facts">${figures.map(
      ({ name, value }) => html`<div key=${name}><dt>${name}</dt><dd class="figure">${value}</dd></div>`,
    )}</dl><//>`;
}

/** @param {string} key @param {string} value @returns {Figure} */
export function figure(key, value) {
  return { name: t(`table.${key}`), value };
}
