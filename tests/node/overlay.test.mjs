// What was entered on a page of a table is shown until it is stored; then what is stored, also from another phone.
import assert from 'node:assert/strict';
import test from 'node:test';
import { enter, isShown, without } from '../../static/domain/table/overlay.js';

class Field {}
Object.assign(globalThis, { HTMLInputElement: Field, HTMLTextAreaElement: class {} });

/** @param {Field | null} field that has the focus */
const focus = (field) => Object.assign(document, { activeElement: field });

test('what was entered is shown until it is stored', () => {
  focus(null);
  const first = enter('b', 'a', undefined);
  const second = enter('c', 'a', first);
  assert.deepEqual(
    ['a', 'b', 'c', 'd'].map((stored) => isShown(second, stored)),
    [true, true, false, false],
  );
  assert.equal(isShown(enter(null, 'a', undefined), undefined), false);
  assert.equal(isShown(enter(['a'], null, undefined), undefined), true);
});

test('a text of another phone waits until the field is left', () => {
  focus(new Field());
  const typed = enter('mine', 'before', undefined);
  assert.equal(isShown(typed, 'theirs'), true);
  focus(new Field());
  assert.equal(isShown(typed, 'theirs'), false);
  assert.equal(isShown(typed, 'before'), true);
});

test('a letter typed before the clean-up remains', () => {
  focus(null);
  const found = enter('b', 'a', undefined);
  const typed = enter('bc', 'b', found);
  const other = enter('x', null, undefined);
  assert.deepEqual(without({ name: typed, place: other }, [found]), { name: typed, place: other });
  assert.deepEqual(without({ name: found, place: other }, [found]), { place: other });
});
