// The field of a price.
import { html } from '../../lib/ui.js';
import { groupsThousands } from '../../lib/currency_digits.js';
import { currencySign } from '../../lib/format.js';
import { NumberField } from './field.js';

/**
 * @param {{ label: string, currency: string | null | undefined, value: number | null | undefined, onChange: (value:
 *   number | null) => void, note?: string, error?: string | null }} props
 */
export function PriceField({ currency, ...field }) {
  return html`<${NumberField} ...${field} unit=${currencySign(currency)} thousands=${groupsThousands(currency)}
    min=${0} />`;
}
