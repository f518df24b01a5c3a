// Time of tasting: set by the first edit, and editable.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { TextField } from '../../../components/form/field.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';

const TO_THE_MINUTE = 16;

export function TastedAtField() {
  const at = values.tasting.value['tasted_at'];
  const change = (/** @type {string | null} */ typed) => {
    const when = typed ? new Date(typed) : null;
    if (!when || !Number.isNaN(when.getTime())) setFields('tasting', { tasted_at: when ? timestamp(when) : null });
  };
  return html`<${FieldSlot} side="tasting" field="tasted_at">
    <${TextField} label=${t('field.tasted_at')} type="datetime-local"
        value=${at ? timestamp(new Date(at)).slice(0, TO_THE_MINUTE) : ''}
    error=${errorText('tasting', 'tasted_at')} onChange=${change} /><//>`;
}
