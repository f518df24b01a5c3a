// Hidden repeats: the same bottle served twice with hidden label, and how far the two ratings
// differ.
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { RepeatDotPlot } from '../../components/chart/repeat_dot_plot.js';
import { repeatability } from '../../rules/stats/repeatability.js';
import { bottleName, resolveBottle } from '../bottle_names.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ id: string, min: number, max: number, label: string }} Measure */

/** Repeats from which on a limit says more than chance; `YOUNG` in webapp/palate/use/report.py, as on the Palate. */
const MIN_REPEATS = 5;

/** @returns {Measure[]} */
function measures() {
  return [
    { id: 'liking', min: 1, max: 9, label: t('field.liking') },
    ...vocabularies.vocabularies.scale.map((id) => ({ id, min: 0, max: 10, label: t(`scale.${id}`) })),
  ];
}

/**
 * Group tastings that have the same bottle and visit, all with hidden label.
 * @param {Row[]} tastings
 * @returns {Row[][]}
 */
export function findHiddenRepeats(tastings) {
  /** @type {Map<string, Row[]>} */
  const groups = new Map();
  for (const row of tastings) {
    const { bottle, visit, label_hidden } = row.fields;
    if (!bottle || !visit || label_hidden !== true) continue;
    const key = `${visit} ${bottle}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  return [...groups.values()].filter((rows) => rows.length > 1);
}

/**
 * @param {Row[][]} groups tastings of one bottle each
 * @param {string} field
 * @returns {{ limit: number, bottles: number } | null} null with too few repeats
 */
export function repeatLimit(groups, field) {
  const { limit, bottles, repeats } = repeatability(groups.map((rows) => valuesOf(rows, field)));
  return limit === null || repeats - bottles < MIN_REPEATS ? null : { limit, bottles };
}

/** @param {{ tastings: Row[], bottles: Map<string, Row> }} props */
export function HiddenRepeats({ tastings, bottles }) {
  const groups = findHiddenRepeats(tastings);
  if (!groups.length) return null;
  const results = measures().flatMap((measure) => {
    const found = repeatLimit(groups, measure.id);
    return found ? [{ ...measure, ...found }] : [];
  });
  return html`<section class="blind-part">
  <h2>${t('evening.repeats')}
  </h2>
  <p>${t('evening.repeats_said', { count: groups.length })}
  </p>
    ${
      results.length === 0
        ? html`<p class="soft small">${t('evening.repeat_few')}</p>`
        : html`<ul class="ruled">
      ${results.map(
        ({ id, label, limit, bottles: count }) => html`<li key=${id} class="intake-line">
      <span class="name">${label}
      </span>
      <span class="figure">${t('evening.repeat_limit', { limit: number(limit) })}${
        count !== groups.length &&
        html`<span
          class="soft small">
      ${t('evening.repeat_pairs', { count })}
      </span>`
      }</span>
      </li>`,
      )}
      </ul>
      <p class="field-note">${t('evening.repeat_note')}</p>`
    }
    ${groups.map(
      (rows) => html`<${RepeatRow} key=${rows[0]?.id} rows=${rows}
        name=${bottleName(resolveBottle(bottles, rows[0]?.fields['bottle']))} />`,
    )}
    </section>`;
}

/**
 * @param {{ rows: Row[], name: string }} props tastings of one bottle; a line for each value that
 *   several of them have
 */
export function RepeatRow({ rows, name }) {
  const marks = rows
    .map((row) => row.fields['flight_mark'])
    .filter(Boolean)
    .join(', ');
  const lines = measures()
    .map((measure) => ({ ...measure, values: valuesOf(rows, measure.id) }))
    .filter(({ values }) => values.length > 1);
  return html`<div class="repeated" role="group" aria-label=${name}>
  <h3>${name}${marks && html` <span class="soft small">${t('evening.glasses', { marks })}</span>`}
  </h3>
    ${!lines.length && html`<p class="soft small">${t('evening.repeat_nothing')}</p>`}
    <ul>
      ${lines.map(
        ({ id, label, min, max, values }) => html`<li key=${id} class="repeat">
      <span>${label}
      </span>
      <span class="figure">${values.map((value) => number(value)).join(' \u00b7 ')}
      </span>
      <${RepeatDotPlot} min=${min} max=${max} values=${values} />
      </li>`,
      )}
    </ul>
    </div>`;
}

/** @param {Row[]} rows @param {string} field @returns {number[]} */
function valuesOf(rows, field) {
  return rows.map((row) => row.fields[field]).filter((value) => typeof value === 'number');
}
