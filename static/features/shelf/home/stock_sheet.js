// Edits a bottle at home: how many, where, and the years to drink it.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { NumberField, TextField } from '../../../components/form/field.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { spanText } from '../../../domain/drinking_text.js';
import { enqueue } from '../../../domain/pour/autosave_queue.js';
import { isReversed, usualSpan } from '../../../rules/serving/drinking.js';
import { validateFields } from '../../../store/validate.js';

/** @typedef {import('../../../store/record.js').Row} Row */

const MAX_COUNT = 10_000;
const YEARS = { min: 1800, max: 2200 };

/** @param {{ stock: Row | null, bottle: Row | null, onClose: () => void }} props closed without a stock */
export function StockSheet({ stock, bottle, onClose }) {
  return html`<${Sheet} title=${stock ? bottleName(bottle) : ''} open=${stock !== null} onClose=${onClose}>
    ${stock && html`<${EditStock} key=${stock.id} stock=${stock} bottle=${bottle} />`}
  <//>`;
}

/** @param {{ stock: Row, bottle: Row | null }} props */
function EditStock({ stock: { id, fields }, bottle }) {
  const { drink_from = null, drink_by = null } = fields;
  const [years, setYears] = useState({ from: drink_from, by: drink_by });
  const reversed = isReversed(years);
  const write = (/** @type {import('../../../store/record.js').Fields} */ edit) => {
    if (Object.keys(validateFields('stock', edit)).length === 0) enqueue([{ kind: 'stock', id, fields: edit }]);
  };
  const changeYears = (/** @type {Partial<typeof years>} */ change) => {
    const next = { ...years, ...change };
    setYears(next);
    if (!isReversed(next)) write({ drink_from: next.from, drink_by: next.by });
  };
  return html`
    <div class="pair">
      <${NumberField} label=${t('field.drink_from')} integer ...${YEARS} value=${years.from}
        error=${reversed ? t('shelf.home_reversed') : null}
        onChange=${(/** @type {number | null} */ from) => changeYears({ from })} />
      <${NumberField} label=${t('field.drink_by')} integer ...${YEARS} value=${years.by}
        onChange=${(/** @type {number | null} */ by) => changeYears({ by })} />
    </div>
    <p class="field-note">${usualText(fields, bottle)}</p>
    <div class="pair">
      <${NumberField} label=${t('field.count')} integer min=${0} max=${MAX_COUNT} value=${fields['count']}
        onChange=${(/** @type {number | null} */ count) => write({ count: count ?? 0 })} />
      <${TextField} label=${t('field.where')} maxLength=${120} value=${fields['where']}
        onChange=${(/** @type {string | null} */ where) => write({ where })} />
    </div>
    ${
      bottle &&
      !bottle.fields['covered'] &&
      html`<p><a class="button plain" href=${`#/book/bottle/${bottle.id}`}>${t('book.bottle_life')}</a></p>`
    }`;
}

/** @param {import('../../../store/record.js').Fields} fields of the stock @param {Row | null} bottle */
function usualText(fields, bottle) {
  const usual = bottle && !bottle.fields['covered'] ? usualSpan(bottle.fields, fields['since']) : null;
  return usual && usual.by !== null
    ? t('shelf.home_usual', { years: spanText(usual) })
    : t(bottle?.fields['style'] ? 'shelf.home_usual_no_year' : 'shelf.home_usual_no_style');
}
