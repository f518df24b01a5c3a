// Editor for the poured and swallowed volume of each pour.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { volume } from '../../lib/format.js';
import { save } from '../../store/write.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField } from '../../components/form/field.js';
import { pourName } from '../bottle_names.js';
import { fieldsOfAmount, fieldsOfChoice, swallowedChoice } from './swallowed.js';
import { isTasted } from '../pour/visit_pours.js';
import { cachedSettings, volumeUnit } from '../units.js';

/** @typedef {import('../../store/record.js').Row} Row */

const MAX_ML = 2000;

/** @param {{ rows: Row[], bottles: Map<string, Row> }} props */
export function IntakePours({ rows, bottles }) {
  if (!rows.length) return null;
  return html`<div class="intake-pours" role="group" aria-label=${t('evening.pace_amounts')}>
    ${rows.map(
      (row) => html`<details key=${row.id} class="fold">
    <summary><span class="grow name">${pourName(row, bottles)}</span><span class="soft small">${amounts(row)}</span>
    </summary>
    <${Amounts} row=${row} />
    </details>`,
    )}
  </div>`;
}

/** @param {Row} row */
function amounts(row) {
  if (!isTasted(row)) return t('evening.untouched');
  const { pour_ml, swallowed_ml } = row.fields;
  const unit = cachedSettings()['volume_unit'];
  const poured = typeof pour_ml === 'number' ? volume(pour_ml, unit) : null;
  const swallowed =
    typeof swallowed_ml === 'number'
      ? swallowed_ml === 0
        ? t('evening.all_spat')
        : t('evening.of_it', { amount: volume(swallowed_ml, unit) })
      : null;
  return [poured, swallowed].filter(Boolean).join(', ') || t('evening.no_amount');
}

/** @param {{ row: Row }} props */
function Amounts({ row }) {
  const { pour_ml } = row.fields;
  const { unit, toDisplay, fromDisplay } = volumeUnit();
  const figure = (
    /** @type {'pour_ml' | 'swallowed_ml'} */ field,
    /** @type {(ml: number | null) => Record<string, any>} */ fieldsOf,
  ) => html`<${NumberField} label=${t(`field.${field}`)} unit=${unit} min=${0} max=${toDisplay(MAX_ML)}
      value=${typeof row.fields[field] === 'number' ? toDisplay(row.fields[field]) : null}
    onChange=${(/** @type {number | null} */ typed) =>
      save('tasting', row.id, fieldsOf(typed === null ? null : fromDisplay(typed)))} />`;
  return html`<div class="pair">
    ${figure('pour_ml', (ml) => ({ pour_ml: ml }))}${figure('swallowed_ml', (ml) => fieldsOfAmount(ml, pour_ml))}
    </div>
    <${Choice} label=${t('evening.swallowed_share')} value=${swallowedChoice(row.fields)}
        onChange=${(/** @type {string | null} */ each) => save('tasting', row.id, fieldsOfChoice(each, pour_ml))}
        options=${(pour_ml > 0 ? ['spat', 'half', 'all'] : ['spat', 'all']).map((id) => ({
          id,
          label: t(`evening.share_${id}`),
        }))} />`;
}
