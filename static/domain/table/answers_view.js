// The answers of all guests for one glass, on the leader's phone and on the guests': likings, scales, aromas, choices
// and finishes.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list, number } from '../../lib/format.js';
import { GuestDots } from '../../components/chart/guest_dots.js';
import { aromaText } from '../aroma/chips.js';

/** @typedef {import('../../rules/table/table_summary.js').Line} Line */
/** @typedef {import('../../rules/table/table_summary.js').GlassSummary} GlassSummary */
/** @typedef {(guest: string) => string | null} NameOf null where answers are shown without names */

const MINUTE_S = 60;

/** @param {{ summary: GlassSummary, nameOf: NameOf }} props */
export function AnswersView({ summary, nameOf }) {
  if (!summary.sheets) return html`<p class="empty voice">${t('table.no_answers')}</p>`;
  const { liking, finish_s: finish, ...scales } = summary.lines;
  return html`${
    liking &&
    html`<section class="table-part"><h2>${t('field.liking')}</h2>
      <${Dots} label=${t('table.liking')} line=${liking} nameOf=${nameOf} min=${1} max=${9} notched=${true}
        low=${t('liking.1')} high=${t('liking.9')} /></section>`
  }
    <${Aromas} summary=${summary} nameOf=${nameOf} total=${summary.sheets} />
    ${
      Object.keys(scales).length > 0 &&
      html`<section class="table-part"><h2>${t('table.scales')}</h2>
      <p class="soft small">${t('table.dots_legend')}</p>
      ${Object.entries(scales).map(
        ([scale, line]) => html`<${Dots} key=${scale} label=${t(`scale.${scale}`)} line=${line} nameOf=${nameOf}
        min=${0} max=${10} low=${t(`scale.${scale}.low`)} high=${t(`scale.${scale}.high`)} />`,
      )}</section>`
    }
    ${
      finish &&
      html`<section class="table-part"><h2>${t('pour.finish')}</h2>
      <${Dots} label=${t('table.seconds')} line=${finish} nameOf=${nameOf} min=${0}
        max=${Math.max(MINUTE_S, ...finish.dots.map(({ value }) => value))} low="0"
        high=${number(Math.max(MINUTE_S, ...finish.dots.map(({ value }) => value)), 0)} /></section>`
    }
    <${Choices} summary=${summary} />`;
}

/**
 * @param {{ label: string, line: Line, nameOf: NameOf, min: number, max: number, notched?: boolean, low: string, high:
 *   string }} props
 */
function Dots({ label, line, nameOf, ...axis }) {
  const dots = line.dots.map(({ guest, value }) => ({ id: guest, value, name: nameOf(guest) }));
  const values = dots.map(({ value, name }) => (name ? `${name} ${number(value)}` : number(value)));
  return html`<${GuestDots} ...${axis} label=${label} dots=${dots} middle=${line} said=${t('table.median', {
    median: number(line.median ?? 0),
  })} />
    <p class=${dots.some(({ name }) => name) ? 'soft small guest-values' : 'unseen'}>${list(values)}</p>`;
}

/** @param {{ summary: GlassSummary, nameOf: NameOf, total: number }} props */
function Aromas({ summary, nameOf, total }) {
  const shared = summary.aromas.filter(({ guests }) => guests.length > 1);
  const single = summary.aromas.filter(({ guests }) => guests.length === 1);
  if (!summary.aromas.length) return null;
  const named = (/** @type {string[]} */ guests) => list(guests.flatMap((guest) => nameOf(guest) ?? []));
  return html`<section class="table-part"><h2>${t('table.aromas')}</h2>
    <ul class="ruled">${shared.map(
      ({ aroma, guests }) => html`<li key=${aroma} class="table-aroma"><span class="grow"><span class="name">
        ${aromaText(aroma)}</span> <span class="soft small">${named(guests)}</span></span>
      <span class="figure">${t('table.count_of', { part: guests.length, total })}</span></li>`,
    )}</ul>
    ${!shared.length && html`<p class="soft">${t('table.aromas_none_shared')}</p>`}
    ${
      single.length > 0 &&
      html`<p class="table-singles"><span class="soft small">${t('table.aromas_single')} </span>${list(
        single.map(({ aroma }) => aromaText(aroma)),
      )}</p>`
    }</section>`;
}

/** @param {{ summary: GlassSummary }} props */
function Choices({ summary }) {
  const rows = Object.entries(summary.choices).filter(([field]) => !field.startsWith('just_right_'));
  if (!rows.length) return null;
  const said = (/** @type {string} */ field, /** @type {{ value: string | number, guests: string[] }[]} */ counts) =>
    counts
      .map(({ value, guests }) => `${t(`${vocabularyOf(field)}.${value}`)} ${number(guests.length)}`)
      .join(' \u00b7 ');
  return html`<section class="table-part"><h2>${t('table.choices')}</h2><dl class="table-facts">${rows.map(
    ([field, counts]) => html`<div key=${field}><dt>${t(`field.${field}`)}</dt><dd>${said(field, counts)}</dd></div>`,
  )}</dl></section>`;
}

/** @param {string} field */
function vocabularyOf(field) {
  return { look_colour: 'colour', look_hue: 'hue' }[field] ?? field;
}
