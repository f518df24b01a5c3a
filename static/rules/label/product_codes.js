import { RuleError } from '../errors.js';

const LENGTHS = [8, 12, 13, 14];

/**
 * Tell whether `code` has 8, 12, 13 or 14 digits and a valid check digit.
 * @param {unknown} code
 */
export function gtinValid(code) {
  return (
    typeof code === 'string' &&
    /^[0-9]+$/.test(code) &&
    LENGTHS.includes(code.length) &&
    checkDigit(code.slice(0, -1)) === code.at(-1)
  );
}

/**
 * Normalize a GTIN as it is stored: 13 digits, padded on the left; 14 with a packing level. Spaces
 * and hyphens are dropped.
 * @param {unknown} code
 */
export function gtinNormal(code) {
  const digits = typeof code === 'string' ? code.replace(/[ -]/g, '') : '';
  if (!/^[0-9]+$/.test(digits)) throw new RuleError('not_digits', 'gtin');
  if (!LENGTHS.includes(digits.length)) throw new RuleError('wrong_length', 'gtin');
  if (!gtinValid(digits)) throw new RuleError('wrong_check_digit', 'gtin');
  return digits.length === 14 && digits.startsWith('0') ? digits.slice(1) : digits.padStart(13, '0');
}

/**
 * Tell whether the number is a shop's own, so that it means another bottle elsewhere (prefixes
 * 020-029, 040-049, 200-299, from memory).
 * @param {unknown} code
 */
export function gtinInStore(code) {
  const prefix = gtinNormal(code).slice(-13, -10);
  return (
    (prefix >= '020' && prefix <= '029') || (prefix >= '040' && prefix <= '049') || (prefix >= '200' && prefix <= '299')
  );
}

/**
 * Compute the check digit: weights 3 and 1 from the right, completing the sum to a multiple of ten.
 * @param {string} body
 */
function checkDigit(body) {
  const sum = [...body].reverse().reduce((total, digit, index) => total + Number(digit) * (index % 2 ? 1 : 3), 0);
  return String((10 - (sum % 10)) % 10);
}
