// A toast stays long enough to read its text.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import test from 'node:test';
import { visibleMs } from '../../static/components/layout/toast_time.js';

const WORDS = new URL('../../static/words/', import.meta.url);
// 200 words a minute with six characters a word is a slow adult reader.
const CHARACTERS_PER_S = 20;

/** @returns {string[]} every message of every language */
function messages() {
  const languages = readdirSync(WORDS, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  return languages.flatMap(({ name: language }) =>
    readdirSync(new URL(`${language}/`, WORDS)).flatMap((file) =>
      Object.values(JSON.parse(readFileSync(new URL(`${language}/${file}`, WORDS), 'utf8'))),
    ),
  );
}

test('every message is visible for as long as reading it takes', () => {
  for (const text of messages()) {
    const needed = 2_000 + (text.length / CHARACTERS_PER_S) * 1_000;
    assert.ok(visibleMs(text, false) >= needed, text);
  }
});

test('a short message is gone sooner than one with a button', () => {
  assert.ok(visibleMs('Copied.', false) < 5_000);
  assert.ok(visibleMs('Copied.', true) >= visibleMs('Copied.', false) + 3_000);
});
