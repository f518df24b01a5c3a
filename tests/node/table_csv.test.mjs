// The answers of a table as CSV.
import assert from 'node:assert/strict';
import test from 'node:test';
import { tableCsv } from '../../static/features/table/results/table_csv.js';

/** @param {Record<string, any>} fields @param {string} [name] */
function csvOf(fields, name = 'Ada') {
  const table = /** @type {any} */ ({
    glasses: [{ id: 'g', fields: { mark: 'A' } }],
    guests: [{ id: 'ada', fields: {} }],
    sheets: [{ id: 's', fields: { guest: 'ada', glass: 'g', ...fields } }],
  });
  const [head = '', row = ''] = tableCsv(table, () => name)
    .slice(1)
    .split('\r\n');
  return { columns: head.split(','), row };
}

test('a row has glass, guest and answers in their columns', () => {
  const { columns, row } = csvOf({ liking: 7, sip_words: ['rose', 'tar:2'] });
  const cells = row.split(',');
  assert.deepEqual(cells.slice(0, 2), ['A', 'Ada']);
  assert.equal(cells[columns.indexOf('liking')], '7');
  assert.equal(cells[columns.indexOf('sip_words')], 'rose tar:2');
  assert.equal(cells[columns.indexOf('acidity')], '');
});

test('a text that would run as a formula gets an apostrophe', () => {
  assert.match(csvOf({ words: '=1+1' }).row, /,'=1\+1/);
  assert.match(csvOf({ words: 'x;=1' }).row, /x;'=1/);
  assert.match(csvOf({ words: 'x\n=1;' }).row, /x\n'=1;/);
  assert.match(csvOf({}, '@sum').row, /^A,'@sum,/);
});

test('commas, quotes and line breaks are quoted', () => {
  assert.match(csvOf({ words: 'dry, "fine"' }).row, /"dry, ""fine"""/);
});
