// The sync of an open page of a table while the server is busy (static/features/table/frequent_sync.js).
import assert from 'node:assert/strict';
import test, { before, mock } from 'node:test';
import { useFrequentSync } from '../../static/features/table/frequent_sync.js';
import { html, render } from '../../static/lib/ui.js';
import { bindOwner } from '../../static/store/owner.js';
import { syncNow } from '../../static/sync/index.js';
import { options } from '../../static/vendor/preact.js';
import { NOW, emptyBook, serve, takesAll, turns, until } from './support.mjs';

// Effects run without preact's timer, whose missing delay the mocked timers do not understand.
/** @type {any} */ (options).requestAnimationFrame = queueMicrotask;

const place = /** @type {any} */ ({ nodeType: 1, childNodes: [] });

function Page() {
  useFrequentSync(true);
  return null;
}

before(async () => {
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  mock.timers.enable({ apis: ['Date', 'setInterval', 'setTimeout'], now: NOW });
});

test('a page that was left asks no more', async () => {
  const asked = serve(takesAll());
  await syncNow();
  render(html`<${Page} />`, place);
  await turns();
  const pass = async () => {
    for (let s = 0; s < 30; s += 1) {
      mock.timers.tick(1_000);
      await turns();
    }
  };
  await pass();
  assert.ok(asked.length > 5, String(asked.length));
  render(null, place);
  await turns();
  const { length } = asked;
  await pass();
  // One round may have been due already.
  assert.ok(asked.length <= length + 1, String(asked.length - length));
});

test('a page keeps the pause that the server asks for', async () => {
  const asked = serve(() => new Response('', { status: 503, headers: { 'Retry-After': '300' } }));
  await syncNow();
  render(html`<${Page} />`, place);
  await turns();
  for (let s = 10; s < 300; s += 10) {
    mock.timers.tick(10_000);
    await turns();
  }
  assert.equal(asked.length, 1);
  mock.timers.tick(10_000);
  await until(() => asked.length === 2);
  render(null, place);
});
