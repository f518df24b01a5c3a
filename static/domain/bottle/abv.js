// The alcohol of a label, in percent by volume.
import spec from '../../spec/record.json' with { type: 'json' };

/** The most that a label may state. */
export const MAX_ABV = spec.kinds.bottle.fields.label_abv.max;

/**
 * @param {import('../../store/record.js').Fields} label
 * @returns {number | null} as printed, for a printed range its middle
 */
export function middleAbv({ label_abv, label_abv_low, label_abv_high }) {
  if (typeof label_abv === 'number') return label_abv;
  return typeof label_abv_low === 'number' && typeof label_abv_high === 'number'
    ? (label_abv_low + label_abv_high) / 2
    : null;
}
