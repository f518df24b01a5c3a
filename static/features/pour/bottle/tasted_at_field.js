// When the pour was tasted: noted by itself at the first word, and open to correction.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { TextField } from '../../../components/form/field.js';
import { faultText, Held } from '../../../domain/pour/fields.js';
import { says, write } from '../../../domain/pour/current_pour.js';

const TO_THE_MINUTE = 16;

export function WhenField() {
  const at = says.tasting.value['tasted_at'];
  const change = (/** @type {string | null} */ typed) => {
    const when = typed ? new Date(typed) : null;
    if (!when || !Number.isNaN(when.getTime())) write('tasting', { tasted_at: when ? timestamp(when) : null });
  };
  return html`<${Held} side="tasting" field="tasted_at"><${TextField} label=${t('field.tasted_at')} type="datetime-local" value=${at ? timestamp(new Date(at)).slice(0, TO_THE_MINUTE) : ''}
    error=${faultText('tasting', 'tasted_at')} onChange=${change} /><//>`;
}
