import data from '../../spec/drinks.json' with { type: 'json' };
import { requiredInRange } from '../stats/numbers.js';

/**
 * Compute the density in kg/m3 at 20 C of an ethanol-water mixture with that mass percentage of
 * ethanol (OIML R 22).
 * @param {unknown} massPercent
 */
export function mixtureDensity(massPercent) {
  const fraction = requiredInRange(massPercent, 'mass_percent', 0, 100) / 100;
  return data.ethanol_water_20c.coefficients.reduceRight((density, each) => density * fraction + each, 0);
}

/**
 * Compute the mixture whose strength at 20 C is `abv` percent by volume; see tests/reference/rules/alcoholometry.py.
 * @param {unknown} abv
 */
export function solveMixture(abv) {
  const strength = requiredInRange(abv, 'abv', 0, 100);
  const ethanol = mixtureDensity(100);
  let low = 0;
  let high = 100;
  for (let step = 0; step < 60; step += 1) {
    const middle = (low + high) / 2;
    if ((middle * mixtureDensity(middle)) / ethanol < strength) low = middle;
    else high = middle;
  }
  return { mass_percent: (low + high) / 2, kg_m3: mixtureDensity((low + high) / 2) };
}

/**
 * Compute the freezing point in degrees C of a mixture of `abv` percent, by ideal dilution.
 * @param {unknown} abv
 */
export function freezingPointC(abv) {
  // The ideal law does not hold above the strength of spirits, which a kitchen freezer cannot
  // freeze anyway.
  const mass = Math.min(solveMixture(abv).mass_percent, 40);
  return -1.86 * ((mass / 46.07 / (100 - mass)) * 1000);
}
