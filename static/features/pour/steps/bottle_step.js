// Step 1: the bottle, or that its label is hidden.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { countriesOf, grapesOf, placeName, styleOf } from '../../../domain/style_names.js';
import { NameInput, VintageInput } from '../bottle/name_input.js';
import { BottleSuggestions, useOtherTastings } from '../bottle/bottle_suggestions.js';
import { NumberInput, FieldSlot, TextInput, ChoiceInput, Toggle } from '../../../domain/pour/fields.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { countryItems } from '../bottle/country_items.js';
import { LabelTools } from '../bottle/label_tools.js';
import { HideLabel, LabelHidden } from '../hidden_label.js';
import { currentPour, isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { ServingRow } from '../bottle/serving_row.js';
import { StyleField } from '../bottle/style_field.js';
import { temperatureUnit, volumeUnit } from '../../../domain/units.js';
import { TastedAtField } from '../bottle/tasted_at_field.js';
import { VisitRow } from '../visit_row.js';

export function BottleStep() {
  return html`<${VisitRow} />
    ${isLabelHidden.value ? html`<${LabelHidden} />` : html`<${LabelTools} /><${Label} />`}
    <${NumberInput} field="serving_c" ...${temperatureUnit()} /><${ServingRow} />
    <${Disclosure} label=${t('pour.more_of_pour')}>
      <${TastedAtField} />
      <${TextInput} field="flight_mark" note=${t('pour.flight_mark_note')} />
      <${NumberInput} field="pour_ml" ...${volumeUnit()} />
    <//>
    ${!isLabelHidden.value && html`<${HideLabel} />`}`;
}

function Label() {
  const others = useOtherTastings();
  const style = styleOf(values.bottle.value['style']);
  const countries = countryItems();
  return html`<div key=${currentPour.value?.bottle}>
    ${others.length > 0 && html`<p class="field-note">${t('pour.mended_in_all', { count: others.length })}</p>`}
    <${FieldSlot} side="tasting" field="bottle">
      <${NameInput} isShared=${others.length > 0} />
      ${!others.length && html`<${BottleSuggestions} />`}
    <//>
    <${TextInput} side="bottle" field="producer" />
    <div class="pair">
    <${VintageInput} />
    <${NumberInput} side="bottle" field="label_abv" unit=${t('pour.percent')} />
    </div>
    <${StyleField} />
    <${TextInput} side="bottle" field="grapes" placeholder=${grapesOf(style).join(', ')} />
    <${TextInput} side="bottle" field="region" placeholder=${placeName(style?.regions[0])} />
    <${FieldSlot} side="bottle" field="country">
      <${SearchSelect} label=${t('field.country')} items=${countries} value=${values.bottle.value['country']}
          placeholder=${t('pour.choose_country')} likely=${style ? countriesOf(style) : []}
      onChange=${(/** @type {string | null} */ country) => setFields('bottle', { country })} /><//>
    <${ChoiceInput} side="bottle" field="colour" />
    <${ChoiceInput} side="bottle" field="kind" />
    <${Disclosure} label=${t('pour.more_of_label')}><${SmallPrint} /><//>
  </div>`;
}

function SmallPrint() {
  return html`<div class="pair">
    <${NumberInput} side="bottle" field="label_abv_low" unit=${t('pour.percent')} />
    <${NumberInput} side="bottle" field="label_abv_high" unit=${t('pour.percent')} />
  </div>
    <${ChoiceInput} side="bottle" field="label_market" />
    <${ChoiceInput} side="bottle" field="label_words" />
    <${Toggle} side="bottle" field="protected_origin" />
    <div class="pair">
      <${NumberInput} side="bottle" field="residual_sugar_gl" unit=${t('pour.gl')} />
      <${NumberInput} side="bottle" field="total_acidity_gl" unit=${t('pour.gl')} />
    </div>
    <${ChoiceInput} side="bottle" field="closure" />
    <${NumberInput} side="bottle" field="volume_ml" integer=${true} unit=${t('pour.ml')} />
    <${TextInput} side="bottle" field="gtin" />
    <${TextInput} side="bottle" field="words" multiline=${true} label=${t('pour.words_on_bottle')} />`;
}
