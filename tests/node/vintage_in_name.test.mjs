// A vintage typed as part of the name: split off when it is sure, offered when it is not.
import assert from 'node:assert/strict';
import test from 'node:test';
import { vintageInName } from '../../static/rules/label/vintage_in_name.js';

const THIS_YEAR = 2026;

test('a recent year at an end of the name is surely the vintage', () => {
  for (const [typed, name, vintage] of [
    ['Vale do Corvo 2019', 'Vale do Corvo', 2019],
    ['  Vale do Corvo   2019 ', 'Vale do Corvo', 2019],
    ['2019 Vale do Corvo', 'Vale do Corvo', 2019],
    ['Vale do Corvo, 2019', 'Vale do Corvo', 2019],
    ['Vale do Corvo (2019)', 'Vale do Corvo', 2019],
    ['Casa Alta 1896 Reserva 2015', 'Casa Alta 1896 Reserva', 2015],
    ['Vale do Corvo 2026', 'Vale do Corvo', 2026],
    ['Vale do Corvo 1986', 'Vale do Corvo', 1986],
  ])
    assert.deepEqual(vintageInName(String(typed), THIS_YEAR), { name, vintage, sure: true }, String(typed));
});

test('a number that may belong to the name is only offered', () => {
  for (const [typed, vintage] of [
    ['Casa Alta 1985', 1985],
    ['Casa Alta 1904', 1904],
    ['Cuvée 2000', 2000],
    ['Bin 2010', 2010],
    ['Via 2012', 2012],
    ['Lot No. 2014', 2014],
    ['Since 1999', 1999],
    ['Vale 2018 Riserva', 2018],
    ['Mille 2000 2015', 2015],
    ['2000 Mille 2015', 2015],
    ['2015 Casa Alta 1904', 1904],
    ['Casa 1900', 1900],
  ]) {
    const found = vintageInName(String(typed), THIS_YEAR);
    assert.deepEqual([found?.vintage, found?.sure], [vintage, false], String(typed));
  }
});

test('other numbers are not read as a vintage', () => {
  const others = ['Casa 1899', '2019', '(2019)', 'Vale 2027', 'Vale 20199', 'Vale 2019.0', 'Vale 2e3', 'Vale 18', ''];
  for (const typed of ['Casa Alta', 'Lot 389', ...others]) assert.equal(vintageInName(typed, THIS_YEAR), null, typed);
});
