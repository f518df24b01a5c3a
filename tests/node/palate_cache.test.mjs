import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import {
  palate,
  personPalates,
  refreshPalate,
  refreshPalateSoon,
  refreshPersonPalates,
} from '../../static/store/palate_cache.js';
import { NOW, emptyBook, json, serve, setTiming, until } from './support.mjs';

beforeEach(async () => {
  await emptyBook();
  palate.value = null;
  personPalates.value = new Map();
});

/** @returns {{ asked: unknown[], answer: () => void }} a server whose answers wait for `answer()` */
function slowServer() {
  /** @type {(() => void)[]} */
  const waiting = [];
  const asked = serve(
    () =>
      new Promise((go) => {
        waiting.push(() => go(json({ n_rated: asked.length })));
      }),
  );
  return { asked, answer: () => waiting.splice(0).forEach((go) => go()) };
}

test('requests during a question are answered by one more', async () => {
  const { asked, answer } = slowServer();
  const first = refreshPalate();
  await until(() => asked.length === 1);
  const all = [first, refreshPalate(), refreshPalate(), refreshPalate()];
  answer();
  await until(() => asked.length === 2);
  answer();
  await Promise.all(all);
  assert.equal(asked.length, 2);
  assert.equal(palate.value.n_rated, 2);
});

test('a question that failed does not end the next one', async () => {
  serve(() => {
    throw new TypeError('Failed to fetch');
  });
  await refreshPalate();
  serve(() => json({ n_rated: 5 }));
  await refreshPalate();
  assert.equal(palate.value.n_rated, 5);
});

test('changes in quick succession lead to one question', async () => {
  setTiming({ palate_quiet_ms: 1_000, palate_latest_ms: 60_000 });
  mock.timers.enable({ apis: ['setTimeout', 'Date'], now: NOW });
  const asked = serve(() => json({ n_rated: 1 }));
  for (let change = 0; change < 20; change += 1) {
    refreshPalateSoon();
    mock.timers.tick(900);
  }
  assert.equal(asked.length, 0);
  mock.timers.tick(100);
  mock.timers.reset();
  await until(() => palate.value !== null);
  assert.equal(asked.length, 1);
});

test('endless changes lead to a question after the longer time', async () => {
  setTiming({ palate_quiet_ms: 1_000, palate_latest_ms: 3_000 });
  mock.timers.enable({ apis: ['setTimeout', 'Date'], now: NOW });
  const asked = serve(() => json({ n_rated: 1 }));
  for (let change = 0; change < 4; change += 1) {
    refreshPalateSoon();
    mock.timers.tick(900);
  }
  mock.timers.reset();
  await until(() => palate.value !== null);
  assert.equal(asked.length, 1);
});

/** A server of people's palates; `documents` by person, each with the tag "v1". */
function serverOfPeople(documents) {
  return serve((url, init) => {
    const document = documents[new URL(url, 'https://book.test').searchParams.get('person')];
    if (!document) return json({ code: 'no_record' }, 404);
    if (init.headers['If-None-Match'] === 'v1') return new Response(null, { status: 304 });
    return json(document, 200, { ETag: 'v1' });
  });
}

test('palates of people are kept for use without a network', async () => {
  serverOfPeople({ ann: { n_rated: 8 }, ben: { n_rated: 3 } });
  await refreshPersonPalates(['ann', 'ben']);
  personPalates.value = new Map();
  serve(() => {
    throw new TypeError('Failed to fetch');
  });
  await refreshPersonPalates(['ann', 'ben']);
  assert.deepEqual(
    [...personPalates.value].map(([id, document]) => [id, document.n_rated]),
    [
      ['ann', 8],
      ['ben', 3],
    ],
  );
});

test('the palate of a person who withdrew is removed', async () => {
  serverOfPeople({ ann: { n_rated: 8 }, ben: { n_rated: 3 } });
  await refreshPersonPalates(['ann', 'ben']);
  serverOfPeople({ ben: { n_rated: 3 } });
  await refreshPersonPalates(['ann', 'ben']);
  assert.deepEqual([...personPalates.value.keys()], ['ben']);
  // Ann again without a network: nothing may be left of her.
  serve(() => {
    throw new TypeError('Failed to fetch');
  });
  await refreshPersonPalates(['ann', 'ben']);
  assert.deepEqual([...personPalates.value.keys()], ['ben']);
});

test('the palate of a deleted person is removed from the phone', async () => {
  serverOfPeople({ ann: { n_rated: 8 } });
  await refreshPersonPalates(['ann']);
  await refreshPersonPalates([]);
  serve(() => {
    throw new TypeError('Failed to fetch');
  });
  await refreshPersonPalates(['ann']);
  assert.equal(personPalates.value.size, 0);
});

test('a question asked meanwhile serves changes before it', async () => {
  setTiming({ palate_quiet_ms: 1_000, palate_latest_ms: 3_000 });
  mock.timers.enable({ apis: ['setTimeout', 'Date'], now: NOW });
  const asked = serve(() => json({ n_rated: 1 }));
  refreshPalateSoon();
  mock.timers.tick(900);
  await refreshPalate();
  assert.equal(asked.length, 1);
  mock.timers.tick(5_000);
  await refreshPalate();
  assert.equal(asked.length, 2);
  refreshPalateSoon();
  mock.timers.tick(999);
  await refreshPalate();
  assert.equal(asked.length, 3, 'the changes waited again');
  mock.timers.reset();
});
