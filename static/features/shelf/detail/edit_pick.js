// Edits the main fields of a pick.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { Choice } from '../../../components/form/choice.js';
import { NumberField, TextField } from '../../../components/form/field.js';
import { PriceField } from '../../../components/form/price_field.js';
import { validateFields } from '../../../store/validate.js';
import { MAX_ABV } from '../../../domain/bottle/abv.js';
import { enqueue } from '../../../domain/pour/autosave_queue.js';

/** @typedef {import('../list/shelf_rows.js').ShelfRow} ShelfRow */

/** @param {{ row: ShelfRow }} props */
export function EditPick({ row: { pick, bottle } }) {
  const [open, setOpen] = useState(false);
  if (!open)
    return html`<button type="button" class="button plain" onClick=${() => setOpen(true)}>${t('shelf.mend')}</button>`;
  const markets = vocabularies.vocabularies.market.map((id) => ({ id, label: t(`market.${id}`) }));
  return html`<section class="tasting-step">
    ${
      bottle &&
      html`<${TextField} label=${t('field.name')} className="name-input" maxLength=${120}
        value=${bottle.fields['name']}
        onChange=${(/** @type {string | null} */ name) => write('bottle', bottle.id, { name })} />`
    }
    <div class="pair">
      ${
        bottle &&
        html`<${NumberField} label=${t('field.label_abv')} unit="%" min=${0} max=${MAX_ABV}
          value=${bottle.fields['label_abv']}
          onChange=${(/** @type {number | null} */ value) => write('bottle', bottle.id, { label_abv: value })} />`
      }
      <${PriceField} label=${t('field.price')} currency=${pick.fields['currency']}
          value=${pick.fields['price']}
          onChange=${(/** @type {number | null} */ value) => write('pick', pick.id, { price: value })} />
    </div>
    ${
      bottle &&
      html`<${Choice} label=${t('field.label_market')} options=${markets}
        value=${bottle.fields['label_market']}
        onChange=${(/** @type {string | null} */ value) => write('bottle', bottle.id, { label_market: value })} />`
    }
    <${TextField} label=${t('field.words')} maxLength=${1000} value=${pick.fields['words']}
        onChange=${(/** @type {string | null} */ note) => write('pick', pick.id, { words: note })} />
  </section>`;
}

/**
 * @param {'bottle' | 'pick'} kind
 * @param {string} id
 * @param {import('../../../store/record.js').Fields} fields invalid values stay on the page and are
 *   not saved
 */
function write(kind, id, fields) {
  if (Object.keys(validateFields(kind, fields)).length === 0) enqueue([{ kind, id, fields }]);
}
