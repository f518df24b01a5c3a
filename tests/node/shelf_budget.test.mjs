// The budget of the settings is the Shelf's highest price, until the user sets or clears that.
import assert from 'node:assert/strict';
import test from 'node:test';
import { NO_FILTERS } from '../../static/features/shelf/list/filters.js';
import { filters, setFilters } from '../../static/features/shelf/list/shelf_state.js';
import { effect } from '../../static/lib/ui.js';
import { settingsId } from '../../static/store/queries.js';
import { newId, save } from '../../static/store/write.js';
import { until, useEmptyBook } from './support.mjs';

useEmptyBook();

test('the budget is the highest price until changed', async (context) => {
  /** @type {number | null} */
  let highest = null;
  context.after(
    effect(() => {
      highest = filters.value.price_high;
    }),
  );
  assert.equal(highest, null);
  await save('settings', settingsId, { budget: 40, currency: 'GBP' });
  await until(() => highest === 40);
  // A budget in pounds says nothing of a price in yen.
  const pick = newId();
  await save('pick', pick, { price: 1500, currency: 'JPY' });
  await until(() => highest === null);
  await save('pick', pick, { state: 'passed' });
  await until(() => highest === 40);
  setFilters({ untasted: true });
  assert.equal(highest, 40);
  setFilters({ price_high: 60 });
  assert.equal(highest, 60);
  setFilters(NO_FILTERS);
  assert.equal(highest, null);
});
