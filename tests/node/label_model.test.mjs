// The size that the label reader announces is that of the files the server has.
import assert from 'node:assert/strict';
import { statSync } from 'node:fs';
import test from 'node:test';
import { FILES, modelState } from '../../static/label_photo/model.js';

test('the announced bytes are those of the files', async () => {
  const sizes = Object.values(FILES).map(({ url }) => statSync(new URL(`../../static${url}`, import.meta.url)).size);
  assert.deepEqual(
    Object.values(FILES).map(({ bytes }) => bytes),
    sizes,
  );
  assert.deepEqual(await modelState(), { stored: false, bytes: sizes.reduce((sum, size) => sum + size) });
});
