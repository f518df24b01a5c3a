// A year moved out of a wine's name, while another phone writes another name.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { whenIdle } from '../../static/domain/pour/autosave_queue.js';
import { currentPour, setFields, values } from '../../static/domain/pour/current_pour.js';
import { closePour, loadPour } from '../../static/domain/pour/load_pour.js';
import { db } from '../../static/store/database.js';
import { bottle } from '../../static/store/queries.js';
import { applyPage } from '../../static/sync/apply_page.js';
import { DEVICE, OTHER, at, recordOf, until, useEmptyBook } from './support.mjs';

useEmptyBook();
class Input {
  closest(/** @type {string} */ wanted) {
    return wanted === '[data-field]' ? { dataset: { field: 'bottle.name' } } : null;
  }
}
Object.assign(globalThis, { HTMLInputElement: Input, HTMLTextAreaElement: class {} });
// The router reads the address when it is loaded.
Object.assign(globalThis, { location: { hash: '', pathname: '/' } });
Object.assign(document, { documentElement: { style: { removeProperty() {} } } });
const { moveYear } = await import('../../static/features/pour/bottle/name_year.js');

/** @param {Input | null} field that has the focus */
const focus = (field) => Object.assign(document, { activeElement: field });

/** @param {string} id @param {string} name from another phone */
async function receive(id, name) {
  const afar = { name: [name, at(1_000, OTHER)], producer: ['afar', at(1_000, OTHER)] };
  await db.transaction('rw', ['bottle', 'tasting', 'outbox', 'meta', 'cache', 'photo_bytes'], (book) =>
    applyPage(/** @type {any} */ (book), [recordOf(id, /** @type {any} */ (afar))], DEVICE),
  );
  await until(() => values.bottle.peek()['producer'] === 'afar');
}

test('a year leaves the name', async () => {
  await loadPour(undefined);
  setFields('bottle', { name: 'Quiet Ledge 2019' });
  await moveYear(currentPour.peek()?.bottle);
  assert.deepEqual([values.bottle.peek()['name'], values.bottle.peek()['vintage']], ['Quiet Ledge', 2019]);
  await whenIdle();
  await closePour();
});

test('a year that is moved leaves the name of another phone', async () => {
  await loadPour(undefined);
  const id = currentPour.peek()?.bottle ?? '';
  focus(new Input());
  setFields('bottle', { name: 'Quiet Ledge 2019' });
  await whenIdle();
  await receive(id, 'Loud Ledge');
  assert.equal(values.bottle.peek()['name'], 'Quiet Ledge 2019');
  await moveYear(currentPour.peek()?.bottle);
  await whenIdle();
  assert.equal((await bottle(id))?.fields['name'], 'Loud Ledge');
  focus(null);
  await closePour();
});
