// The page of a bottle follows merges and notes that arrive from another device.
import assert from 'node:assert/strict';
import test from 'node:test';
import { loadHistory } from '../../static/features/book/bottle/bottle_history.js';
import { effect } from '../../static/lib/ui.js';
import { liveSignal, photosOf } from '../../static/store/queries.js';
import { newId, save, saveMany } from '../../static/store/write.js';
import { until, useEmptyBook } from './support.mjs';

useEmptyBook();

test('an open bottle page follows a merge and what names it', async (context) => {
  const [kept, twin] = [newId(), newId()];
  await saveMany([kept, twin].map((id) => ({ kind: /** @type {const} */ ('bottle'), id, fields: { name: 'a' } })));
  await save('tasting', newId(), { bottle: twin });
  const read = liveSignal(() => loadHistory(kept), /** @type {any} */ ({ tastings: [], stock: [] }));
  /** @type {any} */
  let seen;
  context.after(
    effect(() => {
      seen = read.value;
    }),
  );
  await until(() => seen.asked);
  assert.deepEqual([seen.merged, seen.tastings], [[], []]);
  await save('bottle', twin, { merged_into: kept });
  await until(() => seen.tastings.length === 1);
  await save('tasting', newId(), { bottle: twin });
  await until(() => seen.tastings.length === 2);
  await save('stock', newId(), { bottle: twin, count: 1 });
  await until(() => seen.stock.length === 1);
  await save('photo', newId(), { bottle: twin });
  assert.equal((await photosOf({ bottle: kept }, ...seen.merged)).length, 1);
});
