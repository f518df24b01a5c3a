// When the pour was tasted: noted by itself at the first word, and open to correction.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { moment } from '../../book/moment.js';
import { TextField } from '../../parts/field.js';
import { faultText, Held } from './controls.js';
import { says, write } from './in_hand.js';

const TO_THE_MINUTE = 16;

export function WhenField() {
  const at = says.tasting.value['tasted_at'];
  const change = (/** @type {string | null} */ typed) => {
    const when = typed ? new Date(typed) : null;
    if (!when || !Number.isNaN(when.getTime())) write('tasting', { tasted_at: when ? moment(when) : null });
  };
  return html`<${Held} side="tasting" field="tasted_at"><${TextField} label=${t('field.tasted_at')} type="datetime-local" value=${at ? moment(new Date(at)).slice(0, TO_THE_MINUTE) : ''}
    error=${faultText('tasting', 'tasted_at')} onChange=${change} /><//>`;
}
