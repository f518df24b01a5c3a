// Which grapes a bottle has, as text.
import assert from 'node:assert/strict';
import test from 'node:test';
import { grapesOf, grapesText, stylesById } from '../../static/domain/style_names.js';

const style = [...stylesById.values()].find((each) => grapesOf(each).length > 1);

test('the grapes of a label come before those of a style', () => {
  assert.equal(grapesText({ grapes: 'Merlot', style: style?.style_id }), 'Merlot');
  assert.equal(grapesText({ style: style?.style_id }), grapesOf(style).join(', '));
  assert.equal(grapesText({}), '');
});
