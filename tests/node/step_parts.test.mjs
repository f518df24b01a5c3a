// The parts of a tasting's steps: every field of a step is shown, whatever its type.
import assert from 'node:assert/strict';
import test from 'node:test';
import record from '../../static/spec/record.json' with { type: 'json' };
import vocabularies from '../../static/spec/vocabularies.json' with { type: 'json' };
import { stepFields } from '../../static/domain/pour/tasting_steps.js';
import { isBlank, MIDDLE_STEPS, stepDigest, stepLines, stepParts } from '../../static/domain/tasting/step_parts.js';
import './english.mjs';

const STEPS = ['bottle', ...MIDDLE_STEPS, 'verdict', 'guesses'];
// Shown at the head of the page, or with the bottle.
const ELSEWHERE = ['liking', 'words', 'pour_ml', 'swallowed_ml', 'spat'];

/** A valid value of a field. */
function valueOf(field) {
  const { type, of = field, min } = record.kinds.tasting.fields[field];
  const first = vocabularies.vocabularies[of]?.[0] ?? 'red_garnet';
  return (
    {
      choice: first,
      choices: [first],
      graded: [`${first}:2`],
      number: 5,
      integer: min,
      flag: true,
      style: 'red_barolo',
      aromas: ['leather:2', '~wet slate'],
    }[type] ?? 'some words'
  );
}

function filled() {
  const names = Object.values(stepFields).flatMap(({ tasting }) => tasting);
  return Object.fromEntries(names.map((name) => [name, valueOf(name)]));
}

test('every field of every step is shown once', () => {
  const fields = { ...filled(), look_hue: null };
  const shown = STEPS.flatMap((step) => {
    const { aromas, scales, facts } = stepParts(step, fields);
    return [
      ...[...aromas, ...scales, ...facts].map(({ field }) => field),
      ...scales.filter(({ mark }) => mark !== null).map(({ field }) => `just_right_${field}`),
    ];
  });
  const asked = Object.values(stepFields).flatMap(({ tasting }) => tasting);
  assert.deepEqual(shown.toSorted(), asked.filter((name) => ![...ELSEWHERE, 'look_hue'].includes(name)).toSorted());
});

test('a step without values is blank', () => {
  for (const step of STEPS) assert.ok(isBlank(stepParts(step, {})), step);
});

test('a mark without a value is kept', () => {
  const [scale] = stepParts('sips', { just_right_acidity: 1 }).scales;
  assert.deepEqual(scale, { field: 'acidity', value: null, mark: 1 });
});

test('a line has the value, the ends of its scale and the mark', () => {
  const lines = stepLines(stepParts('sips', { acidity: 8, just_right_acidity: 1, sip_words: ['leather:3'] }));
  assert.deepEqual(lines, ['leather (strong)', 'Acidity: 8 (soft \u2013 mouth-watering), too much']);
});

test('a hue replaces the colour that it implies', () => {
  const fields = { look_colour: 'red', look_hue: 'red_garnet' };
  assert.equal(stepDigest(stepParts('look', fields)), 'Garnet');
});

test('a folded title begins with the scales of the sips', () => {
  const sips = { acidity: 8, tannin: 6.5, sip_words: ['leather'] };
  assert.equal(stepDigest(stepParts('sips', sips)), 'Acidity\u00a08, tannin\u00a06.5, leather');
  const nose = { intensity: 7, first_nose_words: ['leather'] };
  assert.equal(stepDigest(stepParts('first_nose', nose)), 'Leather, aroma intensity\u00a07');
});

test('a folded title names a fact that its value does not explain', () => {
  const look = { look_hue: 'red_garnet', look_depth: 'medium', look_rim: 'none' };
  assert.equal(stepDigest(stepParts('look', look)), 'Garnet, colour depth: medium, no pale rim');
  assert.equal(stepDigest(stepParts('look', { look_gradation: 'slight' })), 'Colour changes a little to the rim');
  assert.equal(stepDigest(stepParts('whole', { standout: ['oak'] })), 'What stands out: oak');
  assert.equal(stepDigest(stepParts('whole', { balance: 7, finish_s: 12 })), 'Balance\u00a07, finish: 12 seconds');
});

test('a guess has a short name below the heading of the guesses', () => {
  const guesses = { guess_abv: 13.5, guess_age_years: 4, guess_style: 'red_barolo', guess_grape: 'Nebbiolo' };
  const names = stepParts('guesses', guesses).facts.map(({ name }) => name);
  assert.deepEqual(names, ['Alcohol', 'Age', 'Style', 'Grape']);
});
