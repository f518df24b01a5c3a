// The list being imported: it stays while the app is open, and is added once.
import './environment.mjs';
import './english.mjs';
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { removeRows } from '../../static/features/shelf/import/add_rows.js';
import {
  addPasted,
  addPhotoList,
  chooseColumn,
  correctStyle,
  pasted,
  pastedRows,
  setText,
} from '../../static/features/shelf/import/pasted_list.js';
import { openStore } from '../../static/store/open.js';
import { bottlesById, picks } from '../../static/store/queries.js';
import { newId, save } from '../../static/store/write.js';
import { emptyBook } from './support.mjs';

beforeEach(async () => {
  await openStore();
  await emptyBook();
  setText('');
});

test('a second press while the rows are added is ignored', async () => {
  setText('Pale Ledge 2020 9 €\nLoud Ledge 2021 11 €');
  const [first, second] = await Promise.all([addPasted(), addPasted()]);
  assert.equal(first?.length, 4);
  assert.equal(second, null);
  assert.equal((await picks()).length, 2);
  assert.deepEqual(await addPasted(), [], 'a late press finds nothing to add');
  assert.equal((await picks()).length, 2);
});

test('only lines that cannot be added stay', async () => {
  setText('name,alcohol,price\nPale Ledge,12.5,11\n,13,8');
  await addPasted();
  assert.equal(pasted.value.text, 'name,alcohol,price\n,13,8');
  setText('Pale Ledge 2020 9 €');
  await addPasted();
  assert.equal(pasted.value.text, '');
});

test('what is entered while rows are added stays', async () => {
  const text = 'name\tprice\nPale Ledge\t9\n\t8';
  /** @param {() => void} meanwhile @returns {Promise<string>} the text that is left */
  const left = async (meanwhile) => {
    setText(text);
    const adding = addPasted();
    meanwhile();
    await adding;
    return pasted.peek().text;
  };
  assert.equal(await left(() => setText(`${text}\nLoud Ledge\t11`)), 'name\tprice\n\t8\nLoud Ledge\t11');
  assert.equal(await left(() => setText('Loud Ledge 11 €')), 'Loud Ledge 11 €');
  assert.equal(await left(() => setText(`${text}0\nLoud Ledge\t11`)), `${text}0\nLoud Ledge\t11`);
  assert.equal(await left(() => setText('')), '');
  const list = { text: 'name\tprice\nQuiet Ledge\t12', rows: [], photo: new Blob(), angle: 0 };
  assert.equal(await left(() => addPhotoList(list)), 'name\tprice\n\t8\nQuiet Ledge\t12');
  assert.deepEqual(pasted.value.lists, [list]);
});

test('a heading stays with the lines entered after it', async () => {
  setText('name\tprice\nPale Ledge\t9\n');
  const adding = addPasted();
  setText('name\tprice\nPale Ledge\t9\n\nLoud Ledge\t11');
  await adding;
  assert.equal(pasted.peek().text, 'name\tprice\nLoud Ledge\t11');
});

test('a known bottle with its year in the name is not doubled', async () => {
  const add = (/** @type {Record<string, any>} */ fields) => {
    const id = newId();
    return save('bottle', id, fields).then(() => id);
  };
  const plain = await add({ name: 'Pale Ledge NV' });
  const twice = await add({ name: 'Loud Ledge 2020', vintage: 2020 });
  await add({ name: 'Quiet Ledge 2015', vintage: 2018 });
  setText('Pale Ledge NV;30 €\nLoud Ledge 2020;12 €\nLoud Ledge 2021;12 €\nQuiet Ledge 2015;9 €');
  assert.deepEqual(
    (await addPasted())?.map(({ kind }) => kind),
    ['pick', 'pick', 'bottle', 'pick', 'bottle', 'pick'],
  );
  for (const text of ['Pale Ledge NV 30 €', 'name;vintage;price\nPale Ledge;NV;30']) {
    setText(text);
    assert.equal((await addPasted())?.length, 1, text);
  }
  const linked = (await picks()).map(({ fields }) => fields['bottle']);
  assert.equal(linked.filter((id) => id === plain).length, 3);
  assert.equal(linked.filter((id) => id === twice).length, 1);
  const exact = await add({ name: 'Pale Ledge', non_vintage: true });
  setText('Pale Ledge NV 30 €');
  await addPasted();
  assert.equal((await picks()).filter(({ fields }) => fields['bottle'] === exact).length, 1);
});

test('a known bottle gains what it lacks, until it is undone', async () => {
  const [bare, full, hidden] = [newId(), newId(), newId()];
  await save('bottle', bare, { name: 'Pale Ledge', vintage: 2020 });
  await save('bottle', full, { name: 'Loud Ledge', label_abv_low: 12, label_abv_high: 13, style: 'wht_chablis' });
  await save('bottle', hidden, { name: 'Dark Ledge', covered: true });
  const known = async () => {
    const bottles = await bottlesById();
    return [bare, full, hidden].map((id) => {
      const { label_abv = null, style = null } = bottles.get(id)?.fields ?? {};
      return [label_abv, style];
    });
  };
  const before = await known();
  setText('name;vintage;style;alcohol\nPale Ledge;2020;Barolo;14.5\nLoud Ledge;;Barolo;14\nDark Ledge;;Barolo;14');
  const added = await addPasted();
  assert.deepEqual(await known(), [[14.5, 'red_barolo'], ...before.slice(1)]);
  await removeRows(added ?? []);
  assert.deepEqual(await known(), before);
  assert.equal((await picks()).length, 0);
});

test('a bottle that two lines add gains and goes as one', async () => {
  setText('name;alcohol;price\nPale Ledge;;9\nPale Ledge;13;8');
  const added = await addPasted();
  const bottles = async () => [...(await bottlesById()).values()].map(({ fields }) => fields['label_abv']);
  assert.deepEqual(await bottles(), [13]);
  await removeRows(added ?? []);
  assert.deepEqual(await bottles(), []);
});

test('corrections belong to one text, photos to all of them', () => {
  setText('Pale Ledge;13;9');
  chooseColumn(2, 'none');
  correctStyle(1, 'wht_chablis');
  const [row] = pastedRows.value.valid;
  assert.deepEqual([row?.bottle['style'], row?.pick['price']], ['wht_chablis', undefined]);
  const list = { text: 'name\tprice\nLoud Ledge\t12', rows: [], photo: new Blob(), angle: 0 };
  addPhotoList(list);
  assert.deepEqual(pasted.value, {
    ...{ chosen: {}, corrected: {}, lists: [list] },
    text: 'Pale Ledge;13;9\nname\tprice\nLoud Ledge\t12',
  });
  setText('Loud Ledge');
  assert.deepEqual(pasted.value.lists, [list]);
  setText(' ');
  assert.deepEqual(pasted.value.lists, []);
});

test('the colour in a name is kept beside a style of another', () => {
  setText('Pét-Nat Rosé 2023 9 €\nCava Brut 2021 11 €');
  const colours = pastedRows.value.valid.map(({ bottle }) => [bottle['style'], bottle['colour']]);
  assert.deepEqual(colours, [
    ['spk_petnat', 'rose'],
    ['spk_cava', undefined],
  ]);
});
