// Reads the rows of a pasted list, for its tests.
import './english.mjs';
import { readList } from '../../static/features/shelf/import/read_list.js';

const USUAL = { currency: null, shop: null, label_market: null };

/**
 * @param {string} text
 * @param {string | null} [currency] the usual one
 * @returns {unknown[][]} name, vintage, alcohol, price, currency and comment of each row
 */
export const read = (text, currency = null) =>
  readList(text, {}, { ...USUAL, currency }).valid.map(({ bottle, pick }) => [
    bottle['name'],
    bottle['non_vintage'] ? 'NV' : bottle['vintage'],
    bottle['label_abv'],
    pick['price'],
    pick['currency'],
    pick['words'],
  ]);

/**
 * @param {unknown} name
 * @param {{ vintage?: number | 'NV', abv?: number, price?: number, currency?: string, words?: string }} more
 */
export const row = (name, { vintage, abv, price, currency, words }) => [name, vintage, abv, price, currency, words];
