// The open pour in the Book: left out as long as it holds nothing, then marked as not finished.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { searchIndex, watchSearchIndex } from '../../static/domain/search_index.js';
import { firstEntries } from '../../static/features/book/list/first_entries.js';
import { timestamp } from '../../static/lib/datetime.js';
import { openPour } from '../../static/store/open_pour.js';
import { newId, save } from '../../static/store/write.js';
import { NOW, until, useEmptyBook } from './support.mjs';

useEmptyBook();

test('the Book leaves out the open pour that holds nothing', async () => {
  const tasted_at = timestamp(new Date(NOW));
  const bottle = await save('bottle', newId(), { name: null });
  const id = await save('tasting', newId(), { tasted_at, bottle, place: 'Cellar' });
  const earlier = timestamp(new Date(NOW - 60_000));
  const other = await save('tasting', newId(), { tasted_at: earlier, closed_at: earlier });
  await openPour.set({ tasting: id, step: 'note' });
  const stop = watchSearchIndex();
  await until(() => searchIndex.value !== null);
  const ids = (/** @type {{ id: string }[]} */ entries) => entries.map((entry) => entry.id);
  assert.deepEqual(ids(searchIndex.value ?? []), [other]);
  assert.deepEqual(ids(await firstEntries()), [other]);
  await save('bottle', bottle, { name: 'Quiet Ledge' });
  await until(() => searchIndex.value?.length === 2);
  const marks = (/** @type {{ unfinished: boolean }[]} */ entries) => entries.map(({ unfinished }) => unfinished);
  assert.deepEqual(marks(searchIndex.value ?? []), [true, false]);
  assert.deepEqual(marks(await firstEntries()), [true, false]);
  stop();
});
