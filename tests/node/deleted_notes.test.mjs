// Whether the Book offers the notes that were deleted lately.
import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import './english.mjs';
import { hasDeletedNotes, searchIndex, watchSearchIndex } from '../../static/domain/search_index.js';
import { deletedKeptDays } from '../../static/store/record.js';
import { deletedElsewhere } from '../../static/store/deleted_tastings.js';
import { newId, remove, save } from '../../static/store/write.js';
import { db } from '../../static/store/database.js';
import { NOW, OTHER, at, until, useEmptyBook } from './support.mjs';

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

test('a note that another device deleted is told apart', async () => {
  const id = await save('tasting', newId(), { words: 'plum' });
  assert.equal(await deletedElsewhere(id), null);
  await remove('tasting', id);
  assert.equal(await deletedElsewhere(id), null);
  await db.tasting.update(id, { deleted_clock: at(1_000, OTHER) });
  assert.equal((await deletedElsewhere(id))?.id, id);
  assert.equal(await deletedElsewhere(newId()), null);
  await db.tasting.update(id, { 'fields.words': null });
  assert.equal(await deletedElsewhere(id), null);
});
