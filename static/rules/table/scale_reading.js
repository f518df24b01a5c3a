// Puts the agreement of guests on a scale from 0 to 10 into words; port of tests/reference/rules/agreement.py.
import { intraclass } from '../stats/intraclass.js';

/**
 * @typedef {'agree' | 'partly' | 'differ' | 'alike'} Reading alike: the glasses differ too little to tell
 * @typedef {{ icc: number | null, icc_consistency: number | null, distance: number, reading: Reading | null }}
 *   ScaleReading
 */

/** The usual limits of moderate and good agreement (Koo and Li 2016). */
const PARTLY = 0.5;
const AGREE = 0.75;
/** Points of the scale; two people who answer by chance are 10 / 3 apart on average. */
const FAR = 2;

/**
 * Read the intraclass correlation together with the distance of the answers. The correlation compares the variance
 * between the wines with all variance, so it is low as well where the wines hardly differ; only answers that lie far
 * apart on the scale itself show that people differ.
 * @param {readonly (readonly number[])[]} scores a row for each wine, a column for each guest
 * @returns {ScaleReading} `distance` is the mean difference of two guests on the same wine; `reading` is null without
 *   any variation
 */
export function scaleReading(scores) {
  const { icc21: icc, icc31 } = intraclass(scores);
  const distance = mean(scores.flatMap(differences));
  return { icc, icc_consistency: icc31, distance, reading: icc === null ? null : readingOf(icc, distance, scores) };
}

/**
 * @param {number} icc
 * @param {number} distance
 * @param {readonly (readonly number[])[]} scores
 * @returns {Reading}
 */
function readingOf(icc, distance, scores) {
  if (icc >= AGREE) return 'agree';
  if (icc >= PARTLY) return 'partly';
  if (distance > FAR) return 'differ';
  const means = scores.map(mean);
  return Math.max(...means) - Math.min(...means) > FAR ? 'partly' : 'alike';
}

/** @param {readonly number[]} row @returns {number[]} of each two guests */
function differences(row) {
  return row.flatMap((one, at) => row.slice(at + 1).map((other) => Math.abs(one - other)));
}

/** @param {readonly number[]} values */
function mean(values) {
  return values.reduce((total, value) => total + value, 0) / values.length;
}
