// The shared text has every field of the spec, but for those that left_out.js names with a reason.
import assert from 'node:assert/strict';
import test from 'node:test';
import record from '../../static/spec/record.json' with { type: 'json' };
import vocabularies from '../../static/spec/vocabularies.json' with { type: 'json' };
import { LEFT_OUT } from '../../static/domain/share/left_out.js';
import { tastingShare, visitShare } from '../../static/domain/share/share_data.js';
import { shareText } from '../../static/domain/share/share_text.js';
import './english.mjs';

/** @typedef {'bottle' | 'tasting' | 'visit'} Kind */

const SECRET = 'Nobody’s business';
/** Fields that say nothing without another. @type {Record<string, Record<string, unknown>>} */
const NEEDS = {
  label_abv_low: { label_abv_high: 14 },
  label_abv_high: { label_abv_low: 9 },
  fault_counts: { faults: ['brett:2'] },
  triangle_wines: { triangle_rounds: 6, triangle_found: 4 },
  triangle_rounds: { triangle_found: 4 },
  triangle_found: { triangle_rounds: 6 },
};

/** @param {string} field @param {any} shape a valid value */
function valueOf(field, { type, of = field, min }) {
  const ids = /** @type {Record<string, string[]>} */ (vocabularies.vocabularies);
  const first = ids[of]?.[0] ?? 'red_garnet';
  return (
    {
      choice: first,
      choices: [first],
      graded: [`${first}:2`],
      number: 7,
      integer: Math.max(1, min),
      flag: true,
      style: 'red_barolo',
      country: 'IT',
      aromas: ['leather:2'],
      moment: '2024-03-05T18:00:00+01:00',
      date: '2024-03-05',
    }[/** @type {string} */ (type)] ?? `${field} in words`
  );
}

/** @param {Kind} kind @param {Record<string, unknown>} fields */
function textOf(kind, fields) {
  const of = (/** @type {Kind} */ which) =>
    /** @type {any} */ ({ kind: which, id: which, fields: which === kind ? fields : {}, gone: 0 });
  if (kind === 'visit') return shareText(visitShare(fields, [], new Map(), {}));
  return shareText(tastingShare(of('tasting'), of('bottle'), {}));
}

for (const kind of /** @type {Kind[]} */ (['bottle', 'tasting', 'visit']))
  test(`each field of a ${kind} is shared, or left out with a reason`, () => {
    for (const [field, shape] of Object.entries(record.kinds[kind].fields)) {
      const needs = { ...(kind === 'visit' ? { name: 'Friday' } : {}), ...NEEDS[field] };
      if (field in LEFT_OUT[kind]) {
        const value = ['text', 'gtin', 'ref', 'refs'].includes(shape.type) ? SECRET : valueOf(field, shape);
        const text = textOf(kind, { ...needs, [field]: value });
        assert.ok(LEFT_OUT[kind][field], field);
        assert.ok(!text.includes(SECRET) && !text.includes('2024'), field);
      } else assert.notEqual(textOf(kind, { ...needs, [field]: valueOf(field, shape) }), textOf(kind, needs), field);
    }
  });

test('what is left out is in the spec', () => {
  for (const [kind, fields] of Object.entries(LEFT_OUT))
    for (const field of Object.keys(fields)) assert.ok(field in record.kinds[/** @type {Kind} */ (kind)].fields, field);
});

test('a covered label is not shared', () => {
  const fields = { covered: true, name: SECRET, grapes: SECRET, words: SECRET, country: 'IT' };
  assert.doesNotMatch(textOf('bottle', fields), new RegExp(`${SECRET}|Italy`));
});

test('the label, the serving and what was swallowed are told once', () => {
  const bottle = { name: 'Torre Quarzo', vintage: 2019, country: 'IT', grapes: 'Nebbiolo', closure: 'cork' };
  const tasting = { serving_c: 16, pour_ml: 100, spat: true, tasted_at: '2026-11-28T21:30:00+01:00' };
  const rowOf = (/** @type {object} */ fields) => /** @type {any} */ ({ fields });
  assert.equal(
    shareText(tastingShare(rowOf(tasting), rowOf(bottle), {})),
    [
      'Torre Quarzo 2019\nItaly\n28 November 2026',
      'Bottle\nGrapes: Nebbiolo\nClosure: Cork\nTemperature in the glass: 16°C\nPoured: 100 ml\nSwallowed: all spat',
    ].join('\n\n'),
  );
});
