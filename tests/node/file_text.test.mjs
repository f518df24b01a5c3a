// The text of a file with a list, in the encodings that spreadsheets write.
import assert from 'node:assert/strict';
import test from 'node:test';
import { fileText } from '../../static/features/shelf/import/file_text.js';

test('the letters of a list are read in each encoding', async () => {
  const list = 'Château Ledge;12,50';
  const wide = Buffer.from(`\ufeff${list}`, 'utf16le');
  for (const bytes of [list, Buffer.from(list, 'latin1'), wide]) assert.equal(await fileText(new Blob([bytes])), list);
});
