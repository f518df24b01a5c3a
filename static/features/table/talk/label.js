// The label of a glass that may be seen: the wine, what the law lets its alcohol be, and the guesses.
import { html, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { abv, list, number } from '../../../lib/format.js';
import { today } from '../../../lib/datetime.js';
import { liveSignal, settings } from '../../../store/queries.js';
import { glassSummary } from '../../../rules/table/glass_summary.js';
import { sheetGrid } from '../../../rules/table/sheet_grid.js';
import { labelAbv, wineName } from '../../../domain/bottle_names.js';
import { rangeText } from '../../../domain/label_range_text.js';
import { lawfulRange } from '../../../domain/lawful_range.js';
import { styleName } from '../../../domain/style_names.js';
import { isCovered } from '../../../domain/table/covered.js';
import { ledTable } from '../../../domain/table/led_table.js';
import { bottleOf } from '../../../domain/table/table_records.js';
import { missingTruths } from '../../../domain/table/truth.js';
import { TruthSheet } from '../truth_sheet.js';

/** @typedef {import('../../../rules/table/table_summary.js').GlassSummary} GlassSummary */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords, glass: import('../../../store/record.js').Row }} props */
export function Label({ table, glass }) {
  const market = useMemo(() => liveSignal(settings, null), []).value?.fields['market'] ?? null;
  const bottle = bottleOf(table, glass);
  if (!bottle) return null;
  const { producer, style, region } = bottle.fields;
  const again = table.glasses.find(
    (other) => other.id !== glass.id && other.fields['bottle'] === bottle.id && !isCovered(table, other),
  );
  const printed = labelAbv(bottle);
  const range = lawfulRange(bottle.fields, market, today());
  return html`<section class="table-label"><h2>${wineName(bottle.fields)}</h2>
    ${again && html`<p class="notice">${t('guest.same_wine', { mark: again.fields['mark'] ?? '' })}</p>`}
    <p class="soft">${[producer, styleName(style), region].filter(Boolean).join(' \u00b7 ')}</p>
    ${
      printed &&
      html`<p>${t('table.label_abv', { abv: printed })} ${
        range.known && html`<span class="soft">${t('table.label_lawful', { range: rangeText(range) })}</span>`
      }</p>`
    }
    <${Guesses} table=${table} glass=${glass} />
  </section>`;
}

/** @param {{ table: TableRecords, glass: import('../../../store/record.js').Row }} props */
function Guesses({ table, glass }) {
  const [isOpen, setOpen] = useState(false);
  const bottle = bottleOf(table, glass);
  const input = ledTable(table);
  const of = input.glasses.find(({ id }) => id === glass.id);
  if (!of) return null;
  const { guesses } = glassSummary(sheetGrid(input), of);
  const isNamed = table.row?.fields['names_shown'] === true;
  const isGuessed = Object.values(guesses).some((one) => one.guesses.length > 0);
  const isLacking = bottle && isGuessed && missingTruths(bottle.fields).length > 0;
  const who = (/** @type {string} */ guest) =>
    (isNamed && input.guests.find(({ id }) => id === guest)?.name) || t('table.somebody');
  const years = (/** @type {number} */ count) => t('pour.year_count', { count });
  return html`<${Numbers} field="guess_abv" guesses=${guesses.abv} who=${who} show=${abv} />
    <${Numbers} field="guess_age_years" guesses=${guesses.age_years} who=${who} show=${years}
      unknown=${bottle?.fields['non_vintage'] ? 'table.no_vintage' : null} />
    <${Words} field="guess_style" guesses=${guesses.style} who=${who} show=${styleName} />
    <${Words} field="guess_grape" guesses=${guesses.grape} who=${who} />
    ${
      isLacking &&
      html`<button type="button" class="button plain" onClick=${() => setOpen(true)}>
      ${t('table.truths_add')}</button>`
    }
    <${TruthSheet} bottle=${isOpen ? bottle : null} onClose=${() => setOpen(false)} />`;
}

/**
 * @param {{ field: string, guesses: GlassSummary['guesses']['abv'], who: (guest: string) => string, show: (value:
 *   number) => string, unknown?: string | null }} props nearest first; unknown: what is said without a truth
 */
function Numbers({ field, guesses: { truth, guesses, closest }, who, show, unknown }) {
  if (!guesses.length) return null;
  return html`<section class="table-guesses"><h3>${t(`field.${field}`)}</h3>
    <p>${truth === null ? t(unknown ?? `table.unknown_${field}`) : t('table.truth', { truth: show(truth) })}</p>
    <ul class="ruled">${guesses.map(
      ({ guest, value, off }) => html`<li key=${guest} class="table-aroma"><span class="grow name">${who(guest)}
      ${closest.includes(guest) && html`<span class="soft small"> ${t('table.closest')}</span>`}</span>
      <span class="figure">${show(value)}${off !== null && html` <span class="soft small">${signed(off)}</span>`}</span>
    </li>`,
    )}</ul></section>`;
}

/** @param {number} off */
function signed(off) {
  const size = number(Math.abs(off));
  return Math.abs(off) < 0.05 ? '' : off > 0 ? `+${size}` : `\u2212${size}`;
}

/**
 * @param {{ field: string, guesses: GlassSummary['guesses']['style'], who: (guest: string) => string, show?: (value:
 *   string) => string }} props
 */
function Words({ field, guesses: { truth, guesses }, who, show = String }) {
  if (!guesses.length) return null;
  const right = guesses.filter((guess) => guess.right).map(({ guest }) => who(guest));
  return html`<section class="table-guesses"><h3>${t(`field.${field}`)}</h3>
    <p>${truth ? t('table.truth', { truth: show(truth) }) : t(`table.unknown_${field}`)}${' '}
      ${truth !== null && (right.length ? t('table.right', { names: list(right) }) : t('table.nobody_right'))}</p>
    <ul class="ruled">${guesses.map(
      ({ guest, value }) => html`<li key=${guest} class="table-aroma"><span class="grow name">${who(guest)}</span>
      <span>${show(value)}</span></li>`,
    )}</ul></section>`;
}
