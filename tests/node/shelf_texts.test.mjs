// Texts of a forecast: its likelihood agrees with its confidence.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import {
  likelihoodText,
  reasonsText,
  surenessText,
  topReason,
} from '../../static/features/shelf/list/prediction_text.js';

/** @param {number} p_like @param {number} mean @param {number} sd @param {boolean} [isYoung] */
function said(p_like, mean, sd, isYoung) {
  const score = { p_like, mean, sd };
  return [likelihoodText(score, 1, isYoung), surenessText(score, 1, isYoung)].filter(Boolean).join('. ');
}

test('a forecast that is not very sure makes no firm promise', () => {
  assert.equal(said(0.95, 8, 1.1), 'You’ll very probably like it. This forecast is solid.');
  assert.equal(said(0.95, 8, 2), 'You’ll probably like it. This forecast is still rough.');
  assert.equal(said(0.95, 8, 1.1, true), 'You’ll probably like it. This forecast is still rough.');
  assert.equal(said(0.01, 2.5, 1.1), 'Not for you. This forecast is solid.');
  assert.equal(said(0.01, 2.5, 2), 'Probably not for you. This forecast is still rough.');
});

const MAYBE = 'You may well like it, but it’s not certain';

test('an uncertain forecast is not called sure as well', () => {
  assert.equal(said(0.5, 6.5, 2), MAYBE);
  assert.equal(said(0.6, 7, 1.2), MAYBE);
});

test('a better forecast is not said in weaker words', () => {
  const even = (/** @type {number} */ mean) => said(0.5, mean, 2);
  assert.deepEqual([6.6, 5.8].map(even), [MAYBE, 'You may like it a little. This forecast is still rough.']);
  // A wider spread makes being liked likelier below the line, and less likely above it.
  assert.equal(said(0.47, 6.3, 3), said(0.4, 6.4, 2));
  assert.equal(said(0.44, 6.6, 1.1), MAYBE);
});

test('a reason names nothing that the Palate does not know', () => {
  const reason = { what: 'attribute', direction: 'raises', level: 'usual', value: 5, effect: 1 };
  const named = (/** @type {object} */ other) => /** @type {any} */ ({ ...reason, ...other });
  const reasons = [named({ name: 'tannin' }), named({ what: 'alcohol', name: 'warmth' }), named({ name: 'body' })];
  const score = { p_like: 0.8, mean: 7, sd: 1, reasons };
  const target = (/** @type {string} */ attribute, /** @type {any} */ shape) =>
    /** @type {any} */ ({ attribute, target: shape === 'peak' ? 5 : null, shape });
  const targets = [target('tannin', 'unknown'), target('warmth', 'peak'), target('body', 'peak')];
  assert.equal(topReason(score, false, targets, { known: false }), 'In its favour: a medium body.');
  assert.equal(topReason(score, false, targets, { known: true }), 'In its favour: medium alcohol and a medium body.');
  const unknown = targets.map(({ attribute }) => target(attribute, 'unknown'));
  assert.deepEqual(reasonsText(score, true, unknown, { known: false }), []);
});
