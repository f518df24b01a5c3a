// Texts of a forecast: its likelihood agrees with its confidence.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { confidenceText, likelihoodText } from '../../static/features/shelf/list/prediction_text.js';

/** @param {number} p_like @param {number} mean @param {number} sd @param {boolean} [isYoung] */
function said(p_like, mean, sd, isYoung) {
  const score = { p_like, mean, sd };
  return `${likelihoodText(score, 1, isYoung)}, ${confidenceText(score, 1, isYoung)}`;
}

test('a forecast that is not very sure makes no firm promise', () => {
  assert.equal(said(0.95, 8, 1.1), 'You’ll almost certainly like it, very sure');
  assert.equal(said(0.95, 8, 2), 'You’ll probably like it, not very sure');
  assert.equal(said(0.95, 8, 1.1, true), 'You’ll probably like it, not very sure');
  assert.equal(said(0.01, 2.5, 1.1), 'Not for you, very sure');
  assert.equal(said(0.01, 2.5, 2), 'Probably not for you, not very sure');
  assert.equal(said(0.5, 6.5, 2), 'Could go either way, not very sure');
});
