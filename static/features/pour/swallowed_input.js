// Spat or swallowed, in one tap.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Choice } from '../../components/form/choice.js';
import { fieldsOfChoice, swallowedChoice } from '../../domain/intake/swallowed.js';
import { FieldSlot } from '../../domain/pour/fields.js';
import { setFields, values } from '../../domain/pour/current_pour.js';

export function SwallowedInput() {
  const fields = values.tasting.value;
  return html`<${FieldSlot} side="tasting" field="spat">
    <${Choice} label=${t('field.spat')} value=${swallowedChoice(fields)} options=${[
      { id: 'spat', label: t('pour.spat') },
      { id: 'all', label: t('pour.swallowed') },
    ]}
      onChange=${(/** @type {string | null} */ choice) =>
        setFields('tasting', fieldsOfChoice(choice, fields['pour_ml']))} />
  <//>`;
}
