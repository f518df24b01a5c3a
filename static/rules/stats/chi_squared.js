/**
 * Chance that chi squared with whole `freedom` exceeds `value`: the regularised upper incomplete gamma function
 * Q(freedom / 2, value / 2), by its series below the middle and Lentz's continued fraction above it
 * (Abramowitz and Stegun 6.5.29, 6.5.31).
 * @param {number} value
 * @param {number} freedom
 */
export function chiSquaredTail(value, freedom) {
  const [a, x] = [freedom / 2, value / 2];
  if (x <= 0) return 1;
  const front = Math.exp(a * Math.log(x) - x - logGammaHalf(freedom));
  return x < a + 1 ? 1 - front * series(a, x) : front * fraction(a, x);
}

/**
 * ln Gamma(twice / 2) for a whole `twice`, by the recurrence from Gamma(1) and Gamma(1/2).
 * @param {number} twice
 */
function logGammaHalf(twice) {
  let total = twice % 2 === 0 ? 0 : Math.log(Math.PI) / 2;
  for (let at = twice % 2 === 0 ? 2 : 1; at < twice; at += 2) total += Math.log(at / 2);
  return total;
}

/**
 * @param {number} a
 * @param {number} x
 */
function series(a, x) {
  let term = 1 / a;
  let total = term;
  for (let n = 1; n < 10_000 && term > total * 1e-16; n += 1) {
    term *= x / (a + n);
    total += term;
  }
  return total;
}

/**
 * @param {number} a
 * @param {number} x
 */
function fraction(a, x) {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let total = d;
  for (let n = 1; n < 10_000; n += 1) {
    const numerator = -n * (n - a);
    b += 2;
    d = 1 / (numerator * d + b);
    c = b + numerator / c;
    total *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return total;
}
