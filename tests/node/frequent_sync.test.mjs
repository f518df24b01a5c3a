// The sync of an open page of a table while the server is busy (static/features/table/frequent_sync.js).
import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import { useFrequentSync } from '../../static/features/table/frequent_sync.js';
import { html, render } from '../../static/lib/ui.js';
import { bindOwner } from '../../static/store/owner.js';
import { syncNow } from '../../static/sync/index.js';
import { options } from '../../static/vendor/preact.js';
import { NOW, emptyBook, serve, turns, until } from './support.mjs';

// Effects run without preact's timer, whose missing delay the mocked timers do not understand.
/** @type {any} */ (options).requestAnimationFrame = queueMicrotask;

test('a page keeps the pause that the server asks for', async () => {
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  mock.timers.enable({ apis: ['Date', 'setInterval', 'setTimeout'], now: NOW });
  const asked = serve(() => new Response('', { status: 503, headers: { 'Retry-After': '300' } }));
  await syncNow();
  const Page = () => {
    useFrequentSync(true);
    return null;
  };
  render(html`<${Page} />`, /** @type {any} */ ({ nodeType: 1, childNodes: [] }));
  await turns();
  for (let s = 10; s < 300; s += 10) {
    mock.timers.tick(10_000);
    await turns();
  }
  assert.equal(asked.length, 1);
  mock.timers.tick(10_000);
  await until(() => asked.length === 2);
});
