// Details of a tasting, step by step in the order of tasting.
import { html } from '../../../lib/ui.js';
import { number, temperature, volume } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import hues from '../../../spec/hues.json' with { type: 'json' };
import { swatches } from '../../../rules/tasting/swatches.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { ScaleReadout } from '../../../components/chart/scale_readout.js';
import { AromaLine } from '../../../domain/aroma_text.js';
import { FactList, hasValue } from '../../../components/layout/fact_list.js';
import { GUESS_FIELDS } from '../../../domain/fields.js';
import { stepFields } from '../../../domain/pour/tasting_steps.js';
import { gradedFaultText, isLeftOut } from '../../../domain/faults.js';
import { styleName } from '../../../domain/style_names.js';
import { AROMA_FIELDS, SIP_FIELDS } from '../../../rules/tasting/aroma_fields.js';

/** @typedef {import('../../../store/record.js').Fields} Fields */
/** @typedef {{ id: string, fields: string[], read: (fields: Fields, units: Fields) => unknown }} Step */

const SCALES = vocabularies.vocabularies.scale;

/** @param {string} step @returns {string[]} */
const fieldsOf = (step) => stepFields[step]?.tasting ?? [];

/** @type {Step[]} */
export const steps = [
  {
    id: 'look',
    fields: fieldsOf('look'),
    read: look,
  },
  { id: 'first_nose', fields: fieldsOf('first_nose'), read: firstNose },
  { id: 'second_nose', fields: fieldsOf('second_nose'), read: secondNose },
  {
    id: 'sips',
    fields: fieldsOf('sips'),
    read: sips,
  },
  { id: 'whole', fields: fieldsOf('whole'), read: wholeImpression },
  {
    id: 'verdict',
    fields: ['would_buy', 'with_whom', 'with_food', ...GUESS_FIELDS],
    read: verdict,
  },
];

/** @param {{ id: string, fields: Fields, units: Fields }} props steps without values are left out */
export function TastingDetails({ id, fields, units }) {
  const filledSteps = steps.filter((step) => step.fields.some((name) => hasValue(fields[name])));
  return html`${filledSteps.map(
    (step) => html`<section class="diary-step" aria-labelledby=${`step-${step.id}`}>
    <div class="diary-head"><h2 id=${`step-${step.id}`}>${t(`book.step_${step.id}`)}</h2>
      <a class="button plain small" href=${`#/pour/${id}/${step.id}`}
          aria-label=${t('book.edit_step', { step: t(`book.step_${step.id}`) })}>
        ${t('book.edit')}
      </a>
      </div>
    ${step.read(fields, units)}
  </section>`,
  )}`;
}

/** @param {string} field @param {Fields} fields */
function chosen(field, fields) {
  return fields[field] ? { name: t(`field.${field}`), value: t(`${field}.${fields[field]}`) } : null;
}

/** @param {Fields} fields */
function look(fields) {
  const hue = hues.hues.find((each) => each.id === fields['look_hue']);
  const swatch =
    hue && html`<span class="swatch" style=${{ background: swatches[hue.id]?.srgb }}></span> ${t(`hue.${hue.id}`)}`;
  return html`<${FactList} entries=${[
    swatch ? { name: t('field.look_hue'), value: swatch } : lookedColour(fields),
    ...fieldsOf('look')
      .filter((field) => field !== 'look_hue' && field !== 'look_colour')
      .map((field) => chosen(field, fields)),
  ]} />`;
}

/** A colour without a hue. @param {Fields} fields */
function lookedColour({ look_colour }) {
  return look_colour ? { name: t('field.look_colour'), value: t(`colour.${look_colour}`) } : null;
}

/** @param {Fields} fields */
function firstNose(fields) {
  return html`<${AromaLine} entries=${fields['first_nose_words']} /><${ReadScale} name="intensity" fields=${fields} />`;
}

/** @param {Fields} fields */
function secondNose(fields) {
  return html`<${AromaLine} entries=${fields['second_nose_words']} before=${fields['first_nose_words']} />
  <${FactList} entries=${[chosen('fruit_state', fields)]} />
  <${ReadScale} name="oak" fields=${fields} />`;
}

/** @param {Fields} fields */
function sips(fields) {
  const filledFields = SIP_FIELDS.filter((name) => hasValue(fields[name]));
  return html`${filledFields.map(
    (name) => html`<h3 class="diary-sub">${t(`field.${name}`)}
  </h3>
  <${AromaLine} entries=${fields[name]} before=${lastBefore(name, fields)} />`,
  )}
    ${mouthScales().map((name) => html`<${ReadScale} name=${name} fields=${fields} />`)}
    <${ReadScale} name="bitterness" fields=${fields} />
    <${FactList} entries=${[chosen('tannin_texture', fields), chosen('warmth_where', fields)]} />`;
}

/** @param {Fields} fields */
function wholeImpression(fields) {
  const standout = hasValue(fields['standout'])
    ? fields['standout'].map((/** @type {string} */ id) => t(`scale.${id}`)).join(', ')
    : null;
  return html`<${ReadScale} name="balance" fields=${fields} /><${ReadScale} name="complexity" fields=${fields} />
    <${FactList} entries=${[
      { name: t('field.standout'), value: standout },
      {
        name: t('book.finish'),
        value: hasValue(fields['finish_s']) ? t('book.seconds', { count: Math.round(fields['finish_s']) }) : null,
      },
      { name: t('field.faults'), value: gradedFaultText(fields) },
      fields['faults']?.length ? { name: t('field.fault_counts'), value: counts(fields) } : null,
    ]} />`;
}

/** @param {Fields} fields */
const counts = (fields) => t(isLeftOut(fields) ? 'pour.no' : 'pour.yes');

/** @param {Fields} fields */
function verdict(fields) {
  const guessed = (/** @type {string} */ field, /** @type {unknown} */ value) => ({
    name: t(`field.${field}`),
    value: value,
  });
  return html`<${FactList} entries=${[
    chosen('would_buy', fields),
    guessed('with_whom', fields['with_whom']),
    guessed('with_food', fields['with_food']),
    guessed('guess_abv', hasValue(fields['guess_abv']) ? `${number(fields['guess_abv'])}\u00a0%` : null),
    guessed(
      'guess_age_years',
      hasValue(fields['guess_age_years']) ? t('book.years', { count: fields['guess_age_years'] }) : null,
    ),
    guessed('guess_style', styleName(fields['guess_style'])),
    guessed('guess_grape', fields['guess_grape']),
  ]} />`;
}

/**
 * Return the facts of serving: place, temperature, amount.
 * @param {Fields} fields
 * @param {Fields} units
 */
export function servingFacts(fields, units) {
  const ml = (/** @type {string} */ field) =>
    hasValue(fields[field]) ? volume(fields[field], units['volume_unit']) : null;
  return [
    {
      name: t('field.serving_c'),
      value: hasValue(fields['serving_c']) ? temperature(fields['serving_c'], units['temperature_unit']) : null,
    },
    { name: t('field.pour_ml'), value: ml('pour_ml') },
    { name: t('field.swallowed_ml'), value: swallowed(fields) ?? ml('swallowed_ml') },
    { name: t('field.flight_mark'), value: fields['flight_mark'] },
  ];
}

/** @param {Fields} fields @returns {string | null} what says more than an amount, or all that was said */
function swallowed({ spat, swallowed_ml }) {
  if (spat === true) return t('evening.all_spat');
  return spat === false && !hasValue(swallowed_ml) ? t('evening.share_all') : null;
}

/** @param {{ name: string, fields: Fields }} props */
function ReadScale({ name, fields }) {
  const [value, mark] = [fields[name] ?? null, fields[`just_right_${name}`] ?? null];
  if (value === null && mark === null) return null;
  return html`<${ScaleReadout} label=${t(`scale.${name}`)} low=${t(`scale.${name}.low`)} high=${t(`scale.${name}.high`)}
      value=${value} mark=${mark} />`;
}

function mouthScales() {
  return SCALES.filter((name) => name !== 'intensity' && name !== 'oak');
}

/**
 * @param {string} name
 * @param {Fields} fields the aromas of the last step before this one that has any
 */
function lastBefore(name, fields) {
  const earlier = AROMA_FIELDS.slice(
    0,
    AROMA_FIELDS.findIndex((each) => each === name),
  ).reverse();
  const found = earlier.find((each) => hasValue(fields[each]));
  return found ? fields[found] : null;
}
