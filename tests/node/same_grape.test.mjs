import assert from 'node:assert/strict';
import test from 'node:test';
import { sameGrape } from '../../static/rules/tasting/same_grape.js';
import { splitGrapes } from '../../static/rules/tasting/grapes.js';

/** @param {[string, string][]} pairs guess and truth @param {boolean} expected */
function judged(pairs, expected) {
  for (const [guess, truth] of pairs) assert.equal(sameGrape(guess, truth), expected, `${guess}: ${truth}`);
}

test('a guess is right whatever its case, accents and hyphens', () => {
  judged(
    [
      ['GEWURZTRAMINER', 'Gewürztraminer'],
      ['pinot-noir', 'Pinot Noir'],
      ['Nero d’Avola', "nero d'avola"],
    ],
    true,
  );
});

test('a guess is right by another name of the grape', () => {
  const pairs = /** @type {[string, string][]} */ ([
    ['Syrah', 'Shiraz'],
    ['Pinot grigio', 'Pinot gris'],
    ['Primitivo', 'Zinfandel'],
    ['Garnacha', 'Grenache'],
    ['Cannonau', 'Garnacha'],
    ['Spätburgunder', 'Pinot noir'],
    ['Pinot nero', 'Spatburgunder'],
    ['Côt', 'Malbec'],
    ['Moscatel', 'Muscat of Alexandria'],
    ['Moscatel', 'Moscato bianco'],
    ['Grenache noir', 'Grenache'],
    ['Garnacha tinta', 'Cannonau'],
    ['Sauvignon', 'Sauvignon blanc'],
    ['Muscat', 'Muscat à petits grains'],
    ['Muscat', 'Muscat Ottonel'],
    ['Tinta del País', 'Tempranillo'],
    ['Ull de Llebre', 'Tinta roriz'],
    ['Boal', 'Bual'],
    ['Bouchet', 'Cabernet Franc'],
    ['Auxerrois', 'Malbec'],
    ['Samsó', 'Cariñena'],
    ['Tribidrag', 'Zinfandel'],
    ['Turbiana', 'Verdicchio'],
    ['Melon', 'Melon de Bourgogne'],
  ]);
  judged(pairs, true);
  judged(
    pairs.map(([guess, truth]) => [truth, guess]),
    true,
  );
});

test('a guess is wrong by the name of another grape', () => {
  judged(
    [
      ['Merlot', 'Malbec'],
      ['Pinot gris', 'Pinot noir'],
      ['Moscato bianco', 'Muscat of Alexandria'],
      ['Sauvignon', 'Cabernet Sauvignon'],
      ['Grenache noir', 'Grenache blanc'],
      ['', 'Merlot'],
      ['Merlot', ''],
      ['60%', 'Merlot 60%'],
      ['e', 'Merlot e Cabernet'],
    ],
    false,
  );
});

test('a guess is right in a blend with percentages', () => {
  for (const blend of ['Grenache 60%, Syrah 40%', '62,5 % Grenache 37,5 % Syrah', 'Grenache (60%) + Syrah (40%)']) {
    judged(
      [
        ['Grenache', blend],
        ['syrah', blend],
        ['Shiraz 100%', blend],
      ],
      true,
    );
    judged([['Mourvèdre', blend]], false);
  }
});

test('a blend is split at "and" in five languages', () => {
  for (const and of ['and', 'e', 'et', 'y', 'und', 'E'])
    assert.deepEqual(splitGrapes(`Merlot ${and} Tannat ${and} Syrah`), ['Merlot', 'Tannat', 'Syrah']);
  assert.deepEqual(splitGrapes('Merlot ed Enantio'), ['Merlot', 'Enantio']);
  assert.deepEqual(splitGrapes('Merlot, Tannat; Syrah / Malbec & Petit Verdot, and Carmenère'), [
    ...['Merlot', 'Tannat', 'Syrah', 'Malbec', 'Petit Verdot', 'Carmenère'],
  ]);
  assert.deepEqual(splitGrapes('Tinta de Toro'), ['Tinta de Toro']);
  assert.deepEqual(splitGrapes('Sangiovese 90 Merlot 10'), ['Sangiovese', 'Merlot']);
});
