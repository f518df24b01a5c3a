// What the leader says at each step, in their own words if they like.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { TextField } from '../../../components/form/field.js';
import { inOrder } from '../../../domain/table/steps.js';

/** @param {{ fields: Record<string, any>, change: (fields: Record<string, any>) => void }} props */
export function GuidanceFields({ fields, change }) {
  return html`<p class="field-note">${t('table.guidance_note')}</p>
    ${inOrder(fields['steps']).map(
      (step) => html`<${TextField} key=${step} label=${t(`group_step.${step}`)} long=${true} maxLength=${400}
      value=${fields[`guidance_${step}`]} placeholder=${t(`guest.guidance_${step}`)}
      onChange=${(/** @type {string | null} */ text) => change({ [`guidance_${step}`]: text })} />`,
    )}`;
}

/** @param {Record<string, any>} fields of the group tasting @param {string} step */
export function guidanceText(fields, step) {
  return fields[`guidance_${step}`] || t(`guest.guidance_${step}`);
}
