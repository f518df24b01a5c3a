// Aromas that are offered: by style and colour, one's own, and the groups of all others.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';
import { groups, ownWords, suggest } from '../../static/domain/aroma/ranking.js';
import { expectedAromas, wordsOfColour, wordsOfStyle } from '../../static/domain/aroma/colour_families.js';
import { cycleGrade } from '../../static/domain/aroma/entry.js';

const spec = JSON.parse(readFileSync(new URL('../../static/spec/aromas.json', import.meta.url), 'utf8'));

test('every family is in its group, and a group stands together', () => {
  assert.deepEqual(
    groups.map((group) => group.id),
    spec.groups,
  );
  for (const { id, families } of groups)
    assert.deepEqual(
      families.map((family) => family.id),
      spec.families.flatMap((/** @type {any} */ family) => (family.group === id ? [family.id] : [])),
    );
});

test('a red wine is not offered the words of white wines', () => {
  const families = ['floral', 'dried_fruit', 'black_fruit'];
  const red = suggest(
    { last: [], styleFamilies: families, counts: new Map(), allowed: wordsOfStyle(families, 'red') },
    [],
    12,
  );
  assert.ok(red.includes('rose') && red.includes('raisin') && red.includes('blackberry'));
  for (const word of ['acacia', 'sultana', 'dried_apricot']) assert.ok(!red.includes(word), word);
  assert.ok(wordsOfStyle(families, 'white').has('acacia'));
});

test('the last words are offered first only if they suit the wine', () => {
  const known = { last: ['tar', 'lemon'], styleFamilies: ['citrus'], counts: new Map([['tar', 9]]) };
  const allowed = wordsOfStyle(['citrus'], 'white');
  assert.ok(!allowed.has('tar'));
  const offered = suggest({ ...known, allowed }, [], 12);
  assert.equal(offered[0], 'lemon');
  assert.ok(offered.includes('tar'), 'a frequent word stays within reach');
  const crowded = {
    ...known,
    counts: new Map([
      ['tar', 9],
      ['lime', 2],
    ]),
    allowed,
  };
  assert.ok(suggest(crowded, [], 12).indexOf('lime') < suggest(crowded, [], 12).indexOf('tar'));
  assert.ok(!suggest({ ...known, allowed, strict: true }, [], 12).includes('tar'));
});

test('every colour has words', () => {
  for (const colour of ['red', 'white', 'rose', 'amber']) assert.ok(wordsOfColour(colour).size > 20, colour);
});

test('a newcomer is offered twelve words, fruit first', () => {
  const offered = (/** @type {string} */ colour) => {
    const { ofStyle, ...rest } = expectedAromas(colour, null);
    return suggest({ last: [], counts: new Map(), styleFamilies: ofStyle, ...rest }, [], 12);
  };
  const [red, white] = [offered('red'), offered('white')];
  assert.deepEqual([red.length, white.length], [12, 12]);
  assert.ok(red.includes('red_cherry') && !red.includes('lemon'));
  assert.ok(white.includes('lemon') && !white.includes('red_cherry'));
});

test('own words are ranked by how often and lately they were used', () => {
  const notes = [
    { sip_words: ['~wet dog', 'lemon'] },
    { first_nose_words: ['~Smoked tea'] },
    { first_nose_words: ['~smoked tea'], sip_words: ['~smoked tea'] },
    ...Array.from({ length: 60 }, () => ({})),
    { sip_words: ['~attic'] },
  ];
  assert.deepEqual(ownWords(notes), ['~Smoked tea', '~wet dog', '~attic']);
  assert.deepEqual(ownWords([]), []);
});

test('a fault is strengthened by taps and then taken away', () => {
  /** @type {string[] | null} */
  let entries = null;
  const seen = [];
  for (let tap = 0; tap < 5; tap += 1) {
    entries = cycleGrade(entries, 'corked');
    seen.push(entries);
  }
  assert.deepEqual(seen, [['corked'], ['corked:1'], ['corked:2'], ['corked:3'], null]);
});
