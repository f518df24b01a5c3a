// Whether the Book offers the notes that were deleted lately.
import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import './english.mjs';
import { hasDeletedNotes, searchIndex, watchSearchIndex } from '../../static/domain/search_index.js';
import { deletedKeptDays } from '../../static/store/record.js';
import { newId, remove, save } from '../../static/store/write.js';
import { NOW, until, useEmptyBook } from './support.mjs';

const DAY_MS = 86_400_000;
useEmptyBook();

test('notes deleted long ago are not offered', async () => {
  await remove('tasting', await save('tasting', newId(), { words: 'plum' }));
  mock.timers.setTime(NOW + (deletedKeptDays + 1) * DAY_MS);
  const stop = watchSearchIndex();
  await until(() => searchIndex.value !== null);
  await save('tasting', newId(), { words: 'quince' });
  await until(() => searchIndex.value?.length === 1);
  assert.equal(hasDeletedNotes.value, false);
  await remove('tasting', await save('tasting', newId(), { words: 'plum' }));
  await until(() => hasDeletedNotes.value);
  stop();
});
