import assert from 'node:assert/strict';
import test from 'node:test';

const pushed = [];
globalThis.location = { pathname: '/', hash: '#/table/t' };
globalThis.scrollTo = () => {};
globalThis.history = {
  pushState(_state, _title, hash) {
    pushed.push(hash);
    location.hash = hash;
  },
};
const { goAfter } = await import('../../static/features/table/go_after.js');

test('the page comes once all is saved, unless another came', async () => {
  let saved = () => {};
  const saving = new Promise((done) => {
    saved = done;
  });
  const gone = goAfter(saving, '/table/t/lead');
  assert.deepEqual(pushed, []);
  saved();
  await gone;
  assert.deepEqual(pushed, ['#/table/t/lead']);
  const late = goAfter(Promise.resolve(), '/table/t');
  location.hash = '#/table/t/talk/g';
  await late;
  assert.deepEqual(pushed, ['#/table/t/lead']);
});
