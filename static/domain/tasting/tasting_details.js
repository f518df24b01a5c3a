// A tasting step by step in the order of tasting, each step folded under its short form.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { swatches } from '../../rules/tasting/swatches.js';
import { Fold } from '../../components/layout/fold.js';
import { FactList } from '../../components/layout/fact_list.js';
import { ScaleReadout } from '../../components/chart/scale_readout.js';
import { AromaLine } from '../aroma_text.js';
import { fieldName } from './field_text.js';
import { amountFacts } from './serving_facts.js';
import { isBlank, MIDDLE_STEPS, stepDigest, stepParts } from './step_parts.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('./step_parts.js').StepParts} StepParts */

const EDITED_AT = /** @type {Record<string, string>} */ ({ guesses: 'verdict' });

/** @param {{ id: string, fields: Fields, units: Fields }} props steps without values are left out */
export function TastingDetails({ id, fields, units }) {
  return [...MIDDLE_STEPS, 'guesses']
    .map((step) => withAmounts(stepParts(step, fields, units), fields, units))
    .filter((parts) => !isBlank(parts))
    .map(
      (parts) => html`<${Fold} onPaper key=${parts.id} title=${parts.title} line=${stepDigest(parts)}>
        <${StepDetails} parts=${parts} />
        <${EditStep} id=${id} step=${EDITED_AT[parts.id] ?? parts.id} title=${parts.title} />
      <//>`,
    );
}

/** @param {{ id: string, step: string, title: string }} props */
export function EditStep({ id, step, title }) {
  return html`<p class="tasting-more"><a class="button plain" href=${`#/pour/${id}/${step}`}
    aria-label=${t('book.edit_step', { step: title })}>${t('book.edit_tasting')}</a></p>`;
}

/** Show what the verdict says besides the liking and the words. @param {{ fields: Fields }} props */
export function Verdict({ fields }) {
  return html`<${StepDetails} parts=${stepParts('verdict', fields)} />`;
}

/** @param {{ parts: StepParts }} props */
export function StepDetails({ parts: { aromas, scales, facts } }) {
  return html`${aromas.map(
    ({ field, entries, before }) => html`
      ${aromas.length > 1 && html`<h3 class="tasting-sub">${fieldName(field)}</h3>`}
      <${AromaLine} entries=${entries} before=${before} />`,
  )}
    ${scales.map(
      ({ field, value, mark }) => html`<${ScaleReadout} label=${fieldName(field)} low=${t(`scale.${field}.low`)}
        high=${t(`scale.${field}.high`)} value=${value} mark=${mark} />`,
    )}
    <${FactList} entries=${facts.map(({ field, value, name, text }) => ({
      name,
      value: field === 'look_hue' ? html`<${Hue} id=${value} text=${text} />` : text,
    }))} />`;
}

/** Show the name of a hue after its colour. @param {{ id: string, text: string }} props */
function Hue({ id, text }) {
  return html`<span class="swatch" style=${{ background: swatches[id]?.srgb }}></span> ${text}`;
}

/**
 * Add to the step that asks it how much was poured and swallowed.
 * @param {StepParts} parts
 * @param {Fields} fields
 * @param {Fields} units
 */
function withAmounts(parts, fields, units) {
  if (parts.id !== 'whole') return parts;
  const amounts = amountFacts(fields, units).map((amount) => ({ ...amount, value: fields[amount.field] }));
  return { ...parts, facts: [...parts.facts, ...amounts.filter(({ text }) => text)] };
}
