// Notes of a duplicate that was merged count on the Shelf for the bottle into which it was merged.
import assert from 'node:assert/strict';
import test from 'node:test';
import { NO_FILTERS } from '../../static/features/shelf/list/filters.js';
import { rows, setFilters, visibleRows } from '../../static/features/shelf/list/shelf_state.js';
import { effect } from '../../static/lib/ui.js';
import { newId, save, saveMany } from '../../static/store/write.js';
import { until, useEmptyBook } from './support.mjs';

useEmptyBook();

test('a note that names a merged duplicate counts on the Shelf', async (context) => {
  const [kept, twin, note] = [newId(), newId(), newId()];
  const bottle = /** @type {const} */ ('bottle');
  await saveMany([
    { kind: bottle, id: kept, fields: { name: 'a' } },
    { kind: bottle, id: twin, fields: { name: 'a', merged_into: kept } },
  ]);
  for (const named of [kept, twin]) await save('pick', newId(), { bottle: named });
  await save('tasting', note, { bottle: twin, liking: 2, tasted_at: '2026-03-02T20:00:00Z' });
  const newest = newId();
  await save('tasting', newest, { bottle: kept, liking: 3, tasted_at: '2026-03-03T20:00:00Z' });
  /** @type {Map<string, string>} ids of the notes by the bottle that the pick names */
  let before = new Map();
  let shown = 0;
  context.after(() => setFilters(NO_FILTERS));
  context.after(
    effect(() => {
      before = new Map(
        rows.value.map(({ pick, counted }) => [pick.fields['bottle'], String(counted.map((row) => row.id))]),
      );
      shown = visibleRows.value.inside.length;
    }),
  );
  const both = String([newest, note]);
  await until(() => before.get(kept) === both && before.get(twin) === both);
  setFilters({ untasted: true });
  assert.equal(shown, 0);
  await save('bottle', twin, { merged_into: null });
  await until(() => before.get(kept) === newest && before.get(twin) === note);
});
