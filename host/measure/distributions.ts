// Student, normal and chi-squared quantiles, from the incomplete beta and gamma functions
// (series and continued fractions as in Abramowitz and Stegun 6.5, 26.5). Held to published tables in the tests.

/** Lanczos's coefficients for g = 7 and nine terms (widely printed, no source), the first by itself. */
const LANCZOS_FIRST = 0.9999999999998099;
const LANCZOS = [
  676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406, 12.507343278686905,
  -0.13857109526572012, 9.984369578019572e-6, 1.5056327351493116e-7,
];

/** Terms of a series or fraction after which it is left as it is; within the ranges asked for it settles far before. */
const MOST_TERMS = 1000;
/** Relative change below which double precision holds no more. */
const SETTLED = 1e-16;
/** Where a continued fraction starts instead of at infinity (Lentz's method). */
const NEARLY_INFINITE = 1e300;
/** Halvings of a bracket, and its relative width at which it is narrow enough. */
const MOST_HALVINGS = 200;
const NARROW = 1e-14;
/** Standard deviations within which all of a normal distribution lies, to double precision. */
const NORMAL_END = 40;
/** From here on Student's distribution is taken for the normal one, which it is to a few millionths. */
const MANY_DEGREES = 1e6;

/** Natural logarithm of the gamma function for x > 0 (Lanczos, g = 7). */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const z = x - 1;
  const sum = LANCZOS.reduce((total, term, i) => total + term / (z + (i + 1)), LANCZOS_FIRST);
  const t = z + 7.5;
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Regularised lower incomplete gamma function P(a, x). */
export function gammaP(a: number, x: number): number {
  if (x <= 0) return 0;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < MOST_TERMS && Math.abs(term) > 0.1 * SETTLED * sum; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return sum * front;
  }
  let b = x + 1 - a;
  let c = NEARLY_INFINITE;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < MOST_TERMS; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < SETTLED) break;
  }
  return 1 - front * h;
}

/** Regularised incomplete beta function I_x(a, b). */
export function betaI(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaI(1 - x, b, a);
  const front =
    Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < SETTLED) break;
  }
  return front * h;
}

/** Finds x in [low, high] with rising f(x) = target, by halving. */
function invert(f: (x: number) => number, target: number, low: number, high: number): number {
  let a = low;
  let b = high;
  for (let n = 0; n < MOST_HALVINGS && b - a > NARROW * Math.max(1, Math.abs(b)); n++) {
    const middle = (a + b) / 2;
    if (f(middle) < target) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/** Probability of a normal deviate below `z`. */
export const normalProbability = (z: number): number => {
  if (!Number.isFinite(z)) return z > 0 ? 1 : 0;
  return (1 + Math.sign(z) * gammaP(0.5, (z * z) / 2)) / 2;
};

/** Two-sided normal quantile: the k with P(|z| <= k) = coverage. */
export function normalCoverageFactor(coverage: number): number {
  return invert((k) => gammaP(0.5, (k * k) / 2), coverage, 0, NORMAL_END);
}

/** Two-sided Student quantile t_p(v): the k with P(|t| <= k) = coverage at `dof` degrees of freedom. */
export function studentCoverageFactor(coverage: number, dof: number): number {
  if (dof > MANY_DEGREES) return normalCoverageFactor(coverage);
  // Halving the tail probability's beta argument keeps accuracy for large t at one degree of freedom.
  const x = invert((y) => betaI(y, dof / 2, 0.5), 1 - coverage, 0, 1);
  return Math.sqrt((dof * (1 - x)) / x);
}

/** Probability of |Student's t| above `t` >= 0 at `dof` degrees of freedom (Abramowitz and Stegun 26.7.1). */
export const studentBeyond = (t: number, dof: number): number => betaI(dof / (dof + t * t), dof / 2, 0.5);

/** Quantile of chi-squared with `dof` degrees of freedom. */
export function chiSquaredQuantile(probability: number, dof: number): number {
  // Mean dof, deviation sqrt(2 dof): far beyond all that is asked for.
  return invert((x) => gammaP(dof / 2, x / 2), probability, 0, 20 * dof + 200);
}

/** Quantile of Fisher's F with `top` and `bottom` degrees of freedom. */
export function fisherQuantile(probability: number, top: number, bottom: number): number {
  const x = invert((y) => betaI(y, top / 2, bottom / 2), probability, 0, 1);
  return (bottom * x) / (top * (1 - x));
}

/**
 * Two-sided normal tolerance factor: mean +- k s covers `part` of the population with `confidence`,
 * from `count` readings (W. G. Howe 1969, as in the NIST/SEMATECH e-Handbook 7.2.6.3).
 */
export function toleranceFactor(count: number, part: number, confidence: number): number {
  const dof = count - 1;
  const z = normalCoverageFactor(part);
  return z * Math.sqrt((dof * (1 + 1 / count)) / chiSquaredQuantile(1 - confidence, dof));
}
