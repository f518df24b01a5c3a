import assert from 'node:assert/strict';
import test from 'node:test';
import { certainStyle, colourInName, stylesFor } from '../../static/rules/label/style_from_name.js';

/** @param {string} name @param {string} [country] */
const filled = (name, country) => certainStyle(stylesFor(name, { country: country ?? null }));
/** @param {string} name */
const offered = (name) => stylesFor(name).map(({ style }) => style);

test('a Rosso di Montalcino is no Brunello', () => {
  assert.equal(filled('Rosso di Montalcino 2022'), 'red_chianti_classico');
  assert.equal(filled('Brunello di Montalcino'), 'red_brunello');
});

test('a rosé of a red grape is not red', () => {
  for (const name of ['Spätburgunder Weissherbst', 'Spätburgunder Weißherbst', 'Trollinger Rotling']) {
    assert.equal(filled(name), null, name);
    assert.match(String(offered(name)[0]), /^ros_/, name);
  }
});

test('a sparkling rosé is offered sparkling rosés', () => {
  for (const name of ['Cava Rosé', 'Cava Rosat Brut', 'Franciacorta Rosé', 'Trento DOC Rosé', 'Cap Classique Rosé']) {
    assert.equal(filled(name), null, name);
    assert.equal(offered(name)[0], 'spk_champagne_rose', name);
    assert.ok(!offered(name).some((style) => style.startsWith('ros_')), name);
  }
  assert.ok(offered('Prosecco Rosé').slice(0, 2).includes('spk_champagne_rose'));
});

test('a dry Asti is not the sweet one', () => {
  for (const name of ['Asti Secco', 'Asti Spumante Brut', 'Asti DOCG Extra Dry'])
    assert.equal(filled(name), null, name);
  for (const name of ['Asti', 'Asti Spumante', 'Asti Dolce']) assert.equal(filled(name), 'spk_asti', name);
});

test('an appellation in another country is none', () => {
  assert.equal(filled('California Chablis'), null);
  assert.equal(filled('Chablis', 'US'), null);
  assert.equal(filled('Chablis', 'FR'), 'wht_chablis');
});

test('a Portuguese sparkling wine is not an English one', () => {
  for (const name of ['Bairrada espumante', 'Espumante Bairrada Bruto']) {
    assert.equal(filled(name), null, name);
    assert.equal(offered(name)[0], 'spk_cremant', name);
  }
});

test('an ordinary word is no misspelt appellation', () => {
  assert.deepEqual(offered('Seven Grapes'), []);
  assert.deepEqual(offered('Cherry Hill'), []);
});

test('a term of German law is offered without a region', () => {
  assert.equal(offered('Riesling Kabinett')[0], 'wht_riesling_kabinett');
  assert.equal(offered('Riesling Spätlese')[0], 'wht_riesling_spatlese');
  assert.equal(offered('Riesling Auslese')[0], 'swt_riesling_auslese');
  assert.equal(offered('Riesling Kabinett trocken')[0], 'wht_riesling_dry');
  assert.equal(filled('Riesling Spätlese'), null);
  assert.equal(filled('Mosel Riesling Auslese'), 'swt_riesling_auslese');
});

test('a late harvest of French law is one of Alsace', () => {
  for (const name of [
    'Gewurztraminer Vendanges Tardives',
    'Pinot Gris Sélection de Grains Nobles',
    'Riesling Vendange Tardive',
  ])
    assert.equal(offered(name)[0], 'swt_alsace_vt', name);
  assert.equal(filled('Gewurztraminer'), 'wht_gewurz');
});

test('a name tells the colour of a style of several', () => {
  assert.equal(filled('Pét-Nat Rosé 2023'), 'spk_petnat');
  assert.equal(colourInName('Pét-Nat Rosé 2023'), 'rose');
  assert.equal(colourInName('Pinot Blanc'), null);
  assert.equal(colourInName('Rosso e bianco'), null);
});

test('a vermouth and a cider are offered no style of wine', () => {
  for (const name of ['Vermouth di Torino Rosso', 'Vermut blanco', 'Cidre bouché brut', 'Barolo Chinato'])
    assert.deepEqual(stylesFor(name), [], name);
});

test('an estate named after cider or vermouth makes wine', () => {
  assert.equal(filled('Vermouth-cask Barossa Shiraz'), filled('Barossa Shiraz'));
  assert.equal(filled('Cider Hill Pinot Noir', 'NZ'), 'red_pinot_nw');
  assert.equal(filled('Bodega La Sidra Ribera del Duero'), filled('Ribera del Duero'));
});

test('a name that several countries share is foreign in none', () => {
  for (const [name, country, style] of [
    ['Beerenauslese', 'AT', 'swt_tba'],
    ['Riesling TBA', 'AT', 'swt_tba'],
    ['Welschriesling Trockenbeerenauslese', 'DE', 'swt_tba'],
    ['Ruster Ausbruch', 'AT', 'swt_tba'],
    ['Riesling Sekt', 'AT', 'spk_sekt_riesling'],
    ['Riesling Sekt', 'DE', 'spk_sekt_riesling'],
    ['Tasmania Sparkling', 'AU', 'spk_english'],
    ['English Sparkling', 'GB', 'spk_english'],
    ['Botrytis Semillon', 'ZA', 'swt_sauternes'],
    ['Crémant de Luxembourg', 'LU', 'spk_cremant'],
  ])
    assert.equal(filled(String(name), country), style, `${name} ${country}`);
  for (const [name, country] of [
    ['Ruster Ausbruch', 'DE'],
    ['Riesling Sekt', 'US'],
    ['Tasmania Sparkling', 'GB'],
  ])
    assert.equal(filled(String(name), country), null, `${name} ${country}`);
  assert.equal(filled('Beerenauslese Österreich'), 'swt_tba');
});
