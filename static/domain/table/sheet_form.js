// The questions of one step of a sheet. The caller holds the values: the leader's notebook, the
// phone that goes round, or a guest's own phone.
import record from '../../spec/record.json' with { type: 'json' };
import { html, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Disclosure } from '../../components/layout/disclosure.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField, TextField } from '../../components/form/field.js';
import { JarButtons } from '../../components/form/jar_buttons.js';
import { expectedAromas } from '../aroma/colour_families.js';
import { aromaIds } from '../aroma/entry.js';
import { PersistedWords } from '../aroma/persisted.js';
import { WordPicker } from '../aroma/word_picker.js';
import { StylePicker } from '../bottle/style_picker.js';
import { FELT_TANNIN, GUESS_FIELDS } from '../fields.js';
import { ColourChoice, HueChoice } from '../hue_choice.js';
import { LikingScale, TermScale, VocabularyChoice } from '../judgement_controls.js';
import { lookedAtColour } from '../look_colour.js';
import { SheetFinish } from './sheet_finish.js';

/** @typedef {Record<string, any>} Fields */
/** @typedef {import('./sheet_finish.js').Timer} Timer */
/**
 * @typedef {object} SheetForm
 * @property {string} step of `group_steps.json`
 * @property {Fields} values of the sheet
 * @property {(field: string, value: any) => void} onChange called once for each changed field; null removes the
 *   value. Choosing another colour also removes the hue, in a second call
 * @property {boolean} [disabled] for a closed step: shows the answers, takes none
 * @property {boolean} [guesses] whether the last step asks for guesses
 * @property {{ id: string, mark: string | null }[]} [others] glasses tasted before, one of which may have the same wine
 * @property {Fields | null} [bottle] what is shown of the label; null or absent under a hidden label
 * @property {string | null} [colour] of the wine, which everybody sees in the glass whatever the label shows
 * @property {{ counts: Map<string, number>, last: string[], own: string[] }} [ranking] what the taster noted before
 * @property {(field: string) => import('../aroma/word_picker.js').Typing} [typing] keeps own words not added yet
 * @property {Timer} [timer] keeps the start of the finish; without it the form keeps it itself
 */
/** @typedef {{ form: Required<Omit<SheetForm, 'timer' | 'typing'>> & Pick<SheetForm, 'timer' | 'typing'> }} Part */

const NO_RANKING = {
  counts: /** @type {Map<string, number>} */ (new Map()),
  last: /** @type {string[]} */ ([]),
  own: /** @type {string[]} */ ([]),
};

const shapes = /** @type {Record<string, { min?: number, max?: number, type: string, of?: string }>} */ (
  record.kinds.tasting.fields
);

const parts = /** @type {Record<string, (props: Part) => unknown>} */ ({
  look: Look,
  first_nose: ({ form }) => html`<${Words} form=${form} field="first_nose_words" />`,
  second_nose: SecondNose,
  sip_1: ({ form }) => html`<${Sip} form=${form} scales=${['sweetness', 'acidity']} field="sip_words"
    from=${form.values['second_nose_words'] ? 'second_nose_words' : 'first_nose_words'} />`,
  sip_2: SecondSip,
  sip_3: ThirdSip,
  whole: Whole,
  verdict: Verdict,
});

/** @param {SheetForm} props */
export function SheetForm({ values, onChange, disabled = false, guesses = false, bottle = null, ...props }) {
  // Two taps may come before the next render.
  const latest = useRef(values);
  latest.current = values;
  const set = (/** @type {string} */ field, /** @type {any} */ value) => {
    latest.current = { ...latest.current, [field]: value };
    onChange(field, value);
  };
  const form = {
    step: props.step,
    get values() {
      return latest.current;
    },
    onChange: set,
    disabled,
    guesses,
    bottle,
    colour: props.colour ?? null,
    others: props.others ?? [],
    ranking: props.ranking ?? NO_RANKING,
    timer: props.timer,
    typing: props.typing,
  };
  const Questions = parts[props.step];
  return (
    Questions &&
    html`<fieldset class="sheet-form" disabled=${disabled} data-step=${props.step}><${Questions} form=${form} />
    </fieldset>`
  );
}

/**
 * Mark the field of a control, so that tests find which fields have one.
 * @param {{ field: string, children?: unknown }} props
 */
function Slot({ field, children }) {
  return html`<div data-field=${`sheet.${field}`}>${children}</div>`;
}

/** @param {Part & { field: string }} props */
function Chosen({ form, field }) {
  const { type, of = field } = shapes[field] ?? { type: 'choice' };
  return html`<${Slot} field=${field}>
    <${VocabularyChoice} vocabulary=${of} several=${type === 'choices'} label=${t(`field.${field}`)}
      value=${form.values[field]} onChange=${(/** @type {any} */ value) => form.onChange(field, value)} />
  <//>`;
}

/** @param {Part & { scale: string, jar?: boolean }} props */
function Scale({ form, scale, jar = true }) {
  const field = `just_right_${scale}`;
  return html`<${Slot} field=${scale}>
    <${TermScale} scale=${scale} value=${form.values[scale]} disabled=${form.disabled}
        onChange=${(/** @type {number | null} */ value) => form.onChange(scale, value)}>
      ${
        jar &&
        html`<${Slot} field=${field}><${JarButtons} label=${t(`scale.${scale}`)} value=${form.values[field]}
          onChange=${(/** @type {number | null} */ value) => form.onChange(field, value)} /><//>`
      }
    <//><//>`;
}

/** @param {Part & { field: string, from?: string }} props from: the field of the step before */
function Words({ form, field, from = '' }) {
  const change = (/** @type {(entries: string[] | null | undefined) => string[] | null} */ next) =>
    form.onChange(field, next(form.values[field]));
  const expected = { ...form.ranking, ...expectedAromas(lookedAtColour(form.values) ?? form.colour, form.bottle) };
  const earlier = form.values[from];
  return html`<${Slot} field=${field}>
    <${PersistedWords} earlier=${earlier} noted=${form.values[field]} onChange=${change} />
    <${WordPicker} label=${t(`field.${field}`)} noted=${form.values[field]} onChange=${change} expected=${expected}
      excluded=${aromaIds(earlier)} typing=${form.typing?.(field)} /><//>`;
}

/** @param {Part} props */
function Look({ form }) {
  const change = (/** @type {Fields} */ changed) => {
    for (const [field, value] of Object.entries(changed)) form.onChange(field, value);
  };
  return html`<${Slot} field="look_colour"><${ColourChoice} fields=${form.values} onChange=${change} /><//>
    <${Slot} field="look_hue"><${HueChoice} colour=${lookedAtColour(form.values)} value=${form.values['look_hue']}
      onChange=${(/** @type {string | null} */ hue) => form.onChange('look_hue', hue)} /><//>
    ${['look_depth', 'look_rim', 'look_gradation'].map((field) => html`<${Chosen} form=${form} field=${field} />`)}
    <${Disclosure} label=${t('pour.more_of_look')}>
      <${Chosen} form=${form} field="look_clarity" /><${Chosen} form=${form} field="look_bubbles" />
    <//>`;
}

/** @param {Part} props */
function SecondNose({ form }) {
  return html`<${Words} form=${form} field="second_nose_words" from="first_nose_words" />
    <${Scale} form=${form} scale="intensity" /><${Chosen} form=${form} field="fruit_state" />`;
}

/** @param {Part & { scales: string[], field: string, from: string }} props */
function Sip({ form, scales, field, from }) {
  return html`${scales.map((scale) => html`<${Scale} key=${scale} form=${form} scale=${scale} />`)}
    <${Words} form=${form} field=${field} from=${from} />`;
}

/** @param {Part} props */
function SecondSip({ form }) {
  const { tannin, tannin_texture } = form.values;
  // The texture comes after the scales, because it would push them under a quick thumb.
  return html`<${Scale} form=${form} scale="tannin" /><${Scale} form=${form} scale="body" />
    <${Scale} form=${form} scale="bitterness" jar=${false} />
    ${(tannin >= FELT_TANNIN || tannin_texture) && html`<${Chosen} form=${form} field="tannin_texture" />`}
    <${Words} form=${form} field="sip_2_words" from="sip_words" />`;
}

/** @param {Part} props */
function ThirdSip({ form }) {
  return html`<${Scale} form=${form} scale="warmth" /><${Chosen} form=${form} field="warmth_where" />
    <${Sip} form=${form} scales=${['oak']} field="sip_3_words" from="sip_2_words" />`;
}

/** @param {Part} props */
function Whole({ form }) {
  return html`<${Slot} field="finish_s">
      <${SheetFinish} seconds=${form.values['finish_s']} timer=${form.timer} max=${shapes['finish_s']?.max}
        onChange=${(/** @type {number | null} */ seconds) => form.onChange('finish_s', seconds)} /><//>
    <${Scale} form=${form} scale="balance" jar=${false} />
    <${Chosen} form=${form} field="standout" />
    <${Scale} form=${form} scale="complexity" jar=${false} />`;
}

/** @param {Part} props */
function Verdict({ form }) {
  return html`<${Slot} field="liking"><${LikingScale} value=${form.values['liking']} disabled=${form.disabled}
      onChange=${(/** @type {number | null} */ value) => form.onChange('liking', value)} /><//>
    <${Chosen} form=${form} field="would_buy" />
    ${form.guesses && html`<${Guesses} form=${form} />`}
    <${Slot} field="words"><${TextField} label=${t('field.words')} value=${form.values['words']} long=${true}
      maxLength=${shapes['words']?.max} onChange=${(/** @type {string | null} */ text) => form.onChange('words', text)}
      /><//>`;
}

/** @param {Part} props */
function Guesses({ form }) {
  const [abv, age, style, grape] = /** @type {[string, string, string, string]} */ (GUESS_FIELDS);
  /** @type {(field: string, unit: string, example: number) => unknown} */
  const number = (field, unit, example) => html`<${Slot} field=${field}>
    <${NumberField} label=${t(`field.${field}`)} value=${form.values[field]} unit=${unit} min=${shapes[field]?.min}
      max=${shapes[field]?.max} example=${example}
      onChange=${(/** @type {number | null} */ value) => form.onChange(field, value)} /><//>`;
  return html`<section class="guesses"><h2>${t('pour.guesses')}</h2>
    <div class="pair">${number(abv, t('pour.percent'), 13.5)}${number(age, t('pour.years'), 4)}</div>
    <${Slot} field=${style}><${StylePicker} label=${t(`field.${style}`)} value=${form.values[style]}
      placeholder=${t('pour.choose_style')}
      onChange=${(/** @type {string | null} */ id) => form.onChange(style, id)} /><//>
    <${Slot} field=${grape}><${TextField} label=${t(`field.${grape}`)} value=${form.values[grape]}
      maxLength=${shapes[grape]?.max}
      onChange=${(/** @type {string | null} */ text) => form.onChange(grape, text)} /><//>
    ${form.others.length > 0 && html`<${SameWine} form=${form} />`}
  </section>`;
}

/** Ask which earlier glass has the same wine: one wine may have been poured twice. @param {Part} props */
function SameWine({ form }) {
  const options = form.others.map(({ id, mark }) => ({ id, label: mark ?? '' }));
  return html`<${Slot} field="guess_same_as"><${Choice} label=${t('field.guess_same_as')} options=${options}
    note=${t('table.same_as_note')} value=${form.values['guess_same_as']}
    onChange=${(/** @type {string | null} */ id) => form.onChange('guess_same_as', id)} /><//>`;
}
