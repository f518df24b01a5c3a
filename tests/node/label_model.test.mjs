// The size that the label reader announces is that of the files the server has.
import assert from 'node:assert/strict';
import { statSync } from 'node:fs';
import test, { mock } from 'node:test';
import { CACHE, FILES, modelState, storeModel } from '../../static/label_photo/model.js';

test('the announced bytes are those of the files', async () => {
  const sizes = Object.values(FILES).map(({ url }) => statSync(new URL(`../../static${url}`, import.meta.url)).size);
  assert.deepEqual(
    Object.values(FILES).map(({ bytes }) => bytes),
    sizes,
  );
  assert.deepEqual(await modelState(), { stored: false, bytes: sizes.reduce((sum, size) => sum + size) });
});

test('a file that is cut short is not kept', async () => {
  /** @type {Map<string, Map<string, Response>>} */
  const kept = new Map();
  const cacheOf = (/** @type {string} */ name) => {
    const files = kept.get(name) ?? new Map();
    kept.set(name, files);
    return {
      match: async (/** @type {string} */ url) => files.get(url),
      put: async (/** @type {string} */ url, /** @type {Response} */ response) => files.set(url, response),
    };
  };
  Object.assign(globalThis, {
    caches: {
      has: async (/** @type {string} */ name) => kept.has(name),
      open: async (/** @type {string} */ name) => cacheOf(name),
      keys: async () => [...kept.keys()],
      delete: async (/** @type {string} */ name) => kept.delete(name),
    },
  });
  const sizes = new Map(Object.values(FILES).map(({ url, bytes }) => [url, bytes]));
  let missing = 1;
  mock.method(globalThis, 'fetch', async (/** @type {string} */ url) => {
    return new Response(new Uint8Array(Number(sizes.get(url)) - missing));
  });
  await assert.rejects(storeModel(), { code: 'failed' });
  assert.equal(kept.size, 0);
  missing = 0;
  await storeModel();
  assert.deepEqual([...(kept.get(CACHE)?.keys() ?? [])], [...sizes.keys()]);
  assert.equal((await modelState()).stored, true);
});
