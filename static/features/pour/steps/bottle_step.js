// Step 1: what stands on the table, or that it is hidden.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { placeName, styleOf } from '../../../domain/style_names.js';
import { BottleOffer, useOtherTastings } from '../bottle/bottle_suggestions.js';
import { Figure, Held, Line, More, OneOf, SomeOf, YesNo } from '../../../domain/pour/fields.js';
import { countryItems } from '../bottle/country_items.js';
import { Cover, Covered } from '../hidden_label.js';
import { inHand, isCovered, says, write } from '../../../domain/pour/current_pour.js';
import { ServingRow } from '../bottle/serving_row.js';
import { StyleField } from '../bottle/style_field.js';
import { temperatureUnit, volumeUnit } from '../../../domain/units.js';
import { VintageField } from '../../../domain/bottle/vintage_field.js';
import { WhenField } from '../bottle/tasted_at_field.js';
import { WhereRow } from '../visit_row.js';

export function BottleStep() {
  return html`<${WhereRow} />
    ${isCovered.value ? html`<${Covered} />` : html`<${Label} />`}
    <${Figure} field="serving_c" ...${temperatureUnit()} /><${ServingRow} />
    <${More} label=${t('pour.more_of_pour')}>
      <${WhenField} />
      <${Line} field="flight_mark" note=${t('pour.flight_mark_note')} />
      <${Figure} field="pour_ml" ...${volumeUnit()} />
    <//>
    ${!isCovered.value && html`<${Cover} />`}`;
}

function Label() {
  const others = useOtherTastings();
  const style = styleOf(says.bottle.value['style']);
  const countries = countryItems();
  return html`<div key=${inHand.value?.bottle}>
    ${others.length > 0 && html`<p class="field-note">${t('pour.mended_in_all', { count: others.length })}</p>`}
    <${Held} side="tasting" field="bottle"><${Line} side="bottle" field="name" big=${true} placeholder=${t('pour.name_placeholder')} />${!others.length && html`<${BottleOffer} />`}<//>
    <${Line} side="bottle" field="producer" />
    <div class="pair"><${Held} side="bottle" field="vintage"><${Held} side="bottle" field="non_vintage"><${VintageField} bottle=${says.bottle.value} onChange=${(/** @type {Record<string, any>} */ vintage) => write('bottle', vintage)} /><//><//><${Figure} side="bottle" field="label_abv" unit=${t('pour.percent')} /></div>
    <${StyleField} />
    <${Line} side="bottle" field="grapes" placeholder=${style?.grapes.join(', ')} />
    <${Line} side="bottle" field="region" placeholder=${placeName(style?.regions[0])} />
    <${Held} side="bottle" field="country"><${SearchSelect} label=${t('field.country')} items=${countries} value=${says.bottle.value['country']} placeholder=${t('pour.choose_country')} likely=${style?.countries ?? []}
      onChange=${(/** @type {string | null} */ country) => write('bottle', { country })} /><//>
    <${OneOf} side="bottle" field="colour" />
    <${OneOf} side="bottle" field="kind" />
    <${More} label=${t('pour.more_of_label')}><${SmallPrint} /><//>
  </div>`;
}

function SmallPrint() {
  return html`<div class="pair"><${Figure} side="bottle" field="label_abv_low" unit=${t('pour.percent')} /><${Figure} side="bottle" field="label_abv_high" unit=${t('pour.percent')} /></div>
    <${OneOf} side="bottle" field="label_market" />
    <${SomeOf} side="bottle" field="label_words" />
    <${YesNo} side="bottle" field="protected_origin" />
    <div class="pair"><${Figure} side="bottle" field="residual_sugar_gl" unit=${t('pour.gl')} /><${Figure} side="bottle" field="total_acidity_gl" unit=${t('pour.gl')} /></div>
    <${OneOf} side="bottle" field="closure" />
    <${Figure} side="bottle" field="volume_ml" whole=${true} unit=${t('pour.ml')} />
    <${Line} side="bottle" field="gtin" />
    <${Line} side="bottle" field="words" long=${true} label=${t('pour.words_on_bottle')} />`;
}
