// State of the shelf: its records, and the user's order and filters.
import { computed, signal } from '../../../lib/ui.js';
import {
  bottlesByIds,
  liveSignal,
  picks as readPicks,
  settings as readSettings,
  settingsId,
  stock as readStock,
  tastingsOfBottle,
} from '../../../store/queries.js';
import { palate } from '../../../store/palate_cache.js';
import { shownPalate } from '../../shell/shown_palate.js';
import { localState } from '../../../store/local_state.js';
import { today } from '../../../lib/datetime.js';
import { enqueue } from '../../../domain/pour/autosave_queue.js';
import { isOutside, NO_FILTERS, matches } from './filters.js';
import { companyOrder, companyPalates, isCompany } from './company_state.js';
import { comparedCurrency } from './compared_price.js';
import { sorted } from './sort.js';
import { shelfRows } from './shelf_rows.js';
import { mergedBottles } from '../../../domain/bottle/merged_bottles.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { isYoungPalate } from '../../../domain/palate/rated_wines.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */
/** @typedef {import('./filters.js').Filters} Filters */
/**
 * @typedef {import('./shelf_rows.js').OnTheShelf & { settings: import('../../../store/record.js').Fields, stock:
 *   Row[], asked: boolean }} Shelf
 */

async function readShelf() {
  const [picks, stock, settings] = await Promise.all([readPicks(), readStock(), readSettings()]);
  const [bottles, merged] = await Promise.all([
    bottlesByIds([...picks, ...stock].map((row) => row.fields['bottle'])),
    mergedBottles(),
  ]);
  const notesOf = (/** @type {string} */ id) => tastingsOfBottle(id, ...(merged.get(id) ?? []));
  const tastings = new Map(
    await Promise.all([...bottles.keys()].map(async (id) => /** @type {[string, Row[]]} */ ([id, await notesOf(id)]))),
  );
  return { picks, stock, bottles, tastings, settings: settings.fields, asked: true };
}

/** @type {Shelf} */
const EMPTY = { picks: [], stock: [], bottles: new Map(), tastings: new Map(), settings: {}, asked: false };

export const shelf = liveSignal(readShelf, EMPTY);

/** Kept while the app is open. */
export const order = signal('liking');
/** @type {import('../../../lib/ui.js').Signal<Partial<Filters>>} those that the user set or cleared */
const chosenFilters = signal({});

/** @param {Partial<Filters>} change */
export function setFilters(change) {
  chosenFilters.value = { ...chosenFilters.peek(), ...change };
}

/**
 * Whether bottles that may lawfully be outside the preferred range are collapsed too; stored on
 * this phone.
 */
const strictOverride = localState(
  'shelf_strict',
  /** @returns {value is boolean} */ (value) => typeof value === 'boolean',
);
export const strict = computed(() => strictOverride.value === true);

/** @param {boolean} value */
export function setStrict(value) {
  return strictOverride.set(value);
}

/** The pick whose sheet is open. */
export const openedId = signal(/** @type {string | null} */ (null));

/** Values just set and not read back yet, so that a held key does not wait for the database. */
const asked = signal(/** @type {{ wanted_abv_low: number | null, wanted_abv_high: number | null } | null} */ (null));

/** @param {number | null} low @param {number | null} high */
export function setPreferredAbv(low, high) {
  const fields = { wanted_abv_low: low, wanted_abv_high: high };
  asked.value = fields;
  enqueue([{ kind: 'settings', id: settingsId, fields }]);
}

/** Drop the local values once the database has them. */
export function savePreferredAbv() {
  const { wanted_abv_low = null, wanted_abv_high = null } = shelf.value.settings;
  const waiting = asked.peek();
  if (waiting && waiting.wanted_abv_low === wanted_abv_low && waiting.wanted_abv_high === wanted_abv_high)
    asked.value = null;
}

export const preferred = computed(() => {
  const { wanted_abv_low: enteredLow = null, wanted_abv_high = null } = asked.value ?? shelf.value.settings;
  const wanted_abv_low = enteredLow === 0 ? null : enteredLow;
  const upsideDown = wanted_abv_low !== null && wanted_abv_high !== null && wanted_abv_low > wanted_abv_high;
  return { low: wanted_abv_low, high: upsideDown ? null : wanted_abv_high, enteredHigh: wanted_abv_high, upsideDown };
});

/** Null without a palate, and while the notebook has other ratings than it was learned from. */
export const palateModel = computed(() => (shownPalate.value === 'learning' ? null : (palate.value?.compact ?? null)));

/** What the person of the palate likes; the reasons of the forecasts agree with it. */
export const targets = computed(() => palate.value?.targets ?? []);
export const alcohol = computed(() => palate.value?.alcohol ?? null);

/** Whether the palate is based on any rating; without one no prediction is shown. */
export const judged = computed(() => (palate.value?.n_rated ?? 0) > 0);

/** Whether so few wines were rated that every forecast is a first guess. */
export const isYoung = computed(() => palate.value === null || isYoungPalate(palate.value));

/** The owner's usual currency: that of the settings, else of the last price that has one. */
const usualCurrency = computed(() => {
  const { picks, settings } = shelf.value;
  const [last] = picks.filter(({ fields }) => fields['currency']).sort(byNewest);
  return settings['currency'] ?? last?.fields['currency'] ?? null;
});

/** In which prices are compared; see `comparedCurrency`. */
export const priceCurrency = computed(() => {
  const open = shelf.value.picks.filter((pick) => stateOf(pick) === 'open');
  return comparedCurrency(open, usualCurrency.value);
});

/** The filters; the budget, which is in the usual currency, is the highest price until the user sets or clears that. */
export const filters = computed(() => {
  const budget = priceCurrency.value === usualCurrency.value ? shelf.value.settings['budget'] : null;
  return { ...NO_FILTERS, price_high: /** @type {number | null} */ (budget || null), ...chosenFilters.value };
});

export const rows = computed(() =>
  shelfRows(shelf.value, {
    preferred: preferred.value,
    compact: palateModel.value,
    today: today(),
    market: shelf.value.settings['market'] ?? null,
    company: companyPalates.value,
    currency: priceCurrency.value,
  }),
);

/** The sort order; newest first while there is no palate. */
export const sortKey = computed(() => {
  if (isCompany.value) return companyPalates.value.length ? companyOrder.value : 'seen';
  const needsPalate = ['liking', 'surest', 'value', 'teaches'].includes(order.value);
  return palateModel.value === null && needsPalate ? 'seen' : order.value;
});

/** Open picks that pass the filters, sorted, and the others by state. */
export const visibleRows = computed(() => {
  const inState = (/** @type {string} */ state) => rows.value.filter(({ pick }) => stateOf(pick) === state);
  const open = inState('open');
  const matching = sorted(
    open.filter((row) => matches(row, filters.value)),
    sortKey.value,
  );
  return {
    inside: matching.filter((row) => !isOutside(row, strict.value)),
    outside: matching.filter((row) => isOutside(row, strict.value)),
    hidden: open.length - matching.length,
    bought: sorted(inState('bought'), 'seen'),
    passed: sorted(inState('passed'), 'seen'),
  };
});

/** @param {Row} pick @returns {string} */
function stateOf(pick) {
  return pick.fields['state'] ?? 'open';
}

/** @param {Row} one @param {Row} other ids sort by creation time */
function byNewest(one, other) {
  return one.id < other.id ? 1 : -1;
}

/** @param {ShelfRow} row @returns {boolean} whether the label has no alcohol */
export function lacksAbv({ range }) {
  return !range.known;
}

/** Shop, currency and market of the newest pick. */
const latestPick = computed(() => {
  const made = [...shelf.value.picks].sort(byNewest)[0];
  const bottle = made && resolveBottle(shelf.value.bottles, made.fields['bottle']);
  return {
    shop: made?.fields['shop'] ?? null,
    currency: made?.fields['currency'] ?? null,
    label_market: bottle?.fields['label_market'] ?? null,
  };
});

/**
 * @typedef {{ shop: string | null, currency: string | null, label_market: string | null }} Usual
 *   defaults from the last pick
 */

/** @type {import('../../../lib/ui.js').ReadonlySignal<Usual>} */
export const defaults = computed(() => {
  const { currency = null, market = null } = shelf.value.settings;
  return {
    shop: latestPick.value.shop,
    currency: latestPick.value.currency ?? currency,
    label_market: latestPick.value.label_market ?? market,
  };
});
