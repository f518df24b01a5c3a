// Time of tasting: set by the first edit, and editable. It is the wall clock of the place where it was tasted.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { localDateTime } from '../../../lib/datetime.js';
import { TextField } from '../../../components/form/field.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, values, setFields } from '../../../domain/pour/current_pour.js';
import { isTime, typedTime } from '../../../domain/pour/typed_time.js';

const TO_THE_MINUTE = 16;

export function TastedAtField() {
  const at = values.tasting.value['tasted_at'];
  // A part of the field that is emptied empties the time.
  const opened = useMemo(() => at, [currentPour.value?.tasting]);
  const change = (/** @type {string | null} */ typed) => {
    if (!typed || isTime(typed)) setFields('tasting', { tasted_at: typed ? typedTime(typed, at ?? opened) : null });
  };
  return html`<${FieldSlot} side="tasting" field="tasted_at">
    <${TextField} label=${t('field.tasted_at')} type="datetime-local"
        value=${at ? localDateTime(at).slice(0, TO_THE_MINUTE) : ''}
    error=${errorText('tasting', 'tasted_at')} onChange=${change} /><//>`;
}
