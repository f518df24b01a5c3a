// The answers of all guests for one glass, on the leader's phone and on the guests': likings, scales, aromas, choices
// and finishes.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { list, number } from '../../lib/format.js';
import { GuestDots, hasBar } from '../../components/chart/guest_dots.js';
import { aromaText } from '../aroma/chips.js';
import { isolated } from '../../lib/isolate.js';
import { isMark, markText } from '../tasting/field_text.js';

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
    <${Aromas} summary=${summary} nameOf=${nameOf} />
    ${
      Object.keys(scales).length > 0 &&
      html`<section class="table-part"><h2>${t('table.scales')}</h2>
      <p class="soft small">${t('table.dots_legend')}${
        Object.values(scales).some((line) => hasBar(line.dots, line)) ? ` ${t('table.dots_bar')}` : ''
      }</p>
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
    <${Choices} summary=${summary} nameOf=${nameOf} />
    <${Texts} summary=${summary} nameOf=${nameOf} />`;
}

/**
 * @param {{ label: string, line: Line, nameOf: NameOf, min: number, max: number, notched?: boolean, low: string, high:
 *   string }} props
 */
function Dots({ label, line, nameOf, ...axis }) {
  const dots = line.dots.map(({ guest, value }) => ({ id: guest, value, name: nameOf(guest) }));
  return html`<${GuestDots} ...${axis} label=${label} dots=${dots} middle=${line}
    said=${middleText(line)} />
    <p class=${dots.some(({ name }) => name) ? 'soft small guest-values' : 'unseen'}>${valuesText(line, nameOf)}</p>`;
}

/** @param {Pick<Line, 'dots' | 'median'>} line @returns {string} empty for a single value, which is its own middle */
export function middleText({ dots, median }) {
  return dots.length > 1 ? t('table.median', { median: number(median ?? 0) }) : '';
}

/**
 * List the values with their names. No comma parts them, because in many languages it parts the decimals.
 * @param {Pick<Line, 'dots'>} line
 * @param {NameOf} nameOf
 */
export function valuesText({ dots }, nameOf) {
  const said = dots.map(({ guest, value }) => {
    const name = nameOf(guest);
    return name ? `${isolated(name)} ${number(value)}` : number(value);
  });
  return said.join(' \u00b7 ');
}

/** @param {{ summary: GlassSummary, nameOf: NameOf }} props */
function Aromas({ summary, nameOf }) {
  // Whoever got the phone for the last step only had no word to say.
  const total = new Set(summary.aromas.flatMap(({ guests }) => guests)).size;
  const shared = summary.aromas.filter(({ guests }) => guests.length > 1);
  const single = summary.aromas.filter(({ guests }) => guests.length === 1);
  if (!summary.aromas.length) return null;
  return html`<section class="table-part"><h2>${t('table.aromas')}</h2>
    <ul class="ruled">${shared.map(
      ({ aroma, guests }) => html`<li key=${aroma} class="table-aroma"><span class="grow"><span class="name">
        ${aromaText(aroma)}</span> <span class="soft small">${namesOf(guests, nameOf)}</span></span>
      <span class="figure">${t('table.count_of', { part: guests.length, total })}</span></li>`,
    )}</ul>
    ${!shared.length && html`<p class="soft">${t('table.aromas_none_shared')}</p>`}
    ${single.length > 0 && html`<${Singles} aromas=${single} nameOf=${nameOf} />`}</section>`;
}

/** @param {{ aromas: GlassSummary['aromas'], nameOf: NameOf }} props */
function Singles({ aromas, nameOf }) {
  const [isNamed, setNamed] = useState(false);
  const said = aromas.map(({ aroma, guests }) =>
    isNamed ? withNames(aromaText(aroma), guests, nameOf) : aromaText(aroma),
  );
  return html`<p class="table-singles"><span class="soft small">${t('table.aromas_single')} </span>${list(said)}</p>
    <${NamesButton} guests=${aromas.flatMap(({ guests }) => guests)} nameOf=${nameOf} isOn=${isNamed}
      onChange=${setNamed} />`;
}

/**
 * Draw looks, textures and whether somebody would buy it; then what was too little or too much.
 * @param {{ summary: GlassSummary, nameOf: NameOf }} props
 */
function Choices({ summary, nameOf }) {
  const all = Object.entries(summary.choices);
  const plain = all.filter(([field]) => !isMark(field));
  const marks = all.filter(([field]) => isMark(field));
  return html`${plain.length > 0 && html`<${Counted} title=${t('table.choices')} rows=${plain} nameOf=${nameOf} />`}
    ${marks.length > 0 && html`<${Counted} title=${t('table.marks')} rows=${marks} nameOf=${nameOf} />`}`;
}

/**
 * @param {{ title: string, rows: [string, { value: string | number, guests: string[] }[]][], nameOf: NameOf }} props
 */
function Counted({ title, rows, nameOf }) {
  const [isNamed, setNamed] = useState(false);
  const said = (/** @type {string} */ field, /** @type {any} */ { value, guests }) => {
    const text = isMark(field) ? markText(value) : t(`${vocabularyOf(field)}.${value}`);
    return isNamed ? withNames(text, guests, nameOf) : `${text} ${number(guests.length)}`;
  };
  return html`<section class="table-part"><h2>${title}</h2><dl class="table-facts">${rows.map(
    ([field, counts]) => html`<div key=${field}><dt>${nameOfField(field)}</dt>
      <dd>${counts.map((count) => said(field, count)).join(' \u00b7 ')}</dd></div>`,
  )}</dl><${NamesButton} guests=${rows.flatMap(([, counts]) => counts.flatMap(({ guests }) => guests))}
      nameOf=${nameOf} isOn=${isNamed} onChange=${setNamed} /></section>`;
}

/** @param {{ summary: GlassSummary, nameOf: NameOf }} props */
function Texts({ summary: { texts }, nameOf }) {
  if (!texts.length) return null;
  return html`<section class="table-part"><h2>${t('table.texts')}</h2><ul class="ruled">${texts.map(
    ({ guest, text }) => html`<li key=${guest} class="table-text"><span class="voice">${text}</span>
      <span class="soft small">${nameOf(guest)}</span></li>`,
  )}</ul></section>`;
}

/**
 * @param {{ guests: string[], nameOf: NameOf, isOn: boolean, onChange: (isOn: boolean) => void }} props nothing is
 *   shown where answers have no names
 */
function NamesButton({ guests, nameOf, isOn, onChange }) {
  if (!guests.some(nameOf)) return null;
  return html`<button type="button" class="button plain table-names" aria-pressed=${isOn}
    onClick=${() => onChange(!isOn)}>${t(isOn ? 'table.names_hide' : 'table.names_show')}</button>`;
}

/** @param {string} text @param {string[]} guests @param {NameOf} nameOf */
function withNames(text, guests, nameOf) {
  return t('table.text_of', { text, names: namesOf(guests, nameOf) });
}

/** @param {string[]} guests @param {NameOf} nameOf */
function namesOf(guests, nameOf) {
  return list(guests.flatMap((guest) => nameOf(guest) ?? []));
}

/** @param {string} field */
function nameOfField(field) {
  return isMark(field) ? t(`scale.${field.slice('just_right_'.length)}`) : t(`field.${field}`);
}

/** @param {string} field */
function vocabularyOf(field) {
  return { look_colour: 'colour', look_hue: 'hue', standout: 'scale' }[field] ?? field;
}
