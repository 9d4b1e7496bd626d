/**
 * The few distributions that intervals and tests need. Probabilities are shares, 0 to 1; quantiles are inverse
 * distribution functions. Relative error near 1e-13, down to the tails that a report prints.
 */

const halfLogTwoPi = Math.log(2 * Math.PI) / 2;

/** log Γ(x) for x > 0: recurrence up to 10, then Stirling's series (Abramowitz and Stegun 1964, 6.1.41). */
export function logGamma(x: number): number {
  let product = 1;
  let z = x;
  for (; z < 10; z++) product *= z;
  const square = 1 / (z * z);
  const series =
    (1 / 12 -
      square *
        (1 / 360 -
          square * (1 / 1260 - square * (1 / 1680 - square * (1 / 1188 - square * (691 / 360360 - square / 156)))))) /
    z;
  return (z - 0.5) * Math.log(z) - z + halfLogTwoPi + series - Math.log(product);
}

/** The continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8) by Lentz's method. */
function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  const away = (value: number) => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const last = d * c;
    fraction *= last;
    if (Math.abs(last - 1) < 1e-16) break;
  }
  return fraction;
}

/** I_x(a, b), the regularised incomplete beta function; also the distribution function of the beta distribution. */
export function regularisedBeta(x: number, a: number, b: number): number {
  return betaTails(x, 1 - x, a, b);
}

/** I_x(a, b) with 1 - x given, which near x = 1 is known better than x tells. */
function betaTails(x: number, rest: number, a: number, b: number): number {
  if (!(x > 0)) return 0;
  if (!(rest > 0)) return 1;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log(rest));
  if (x < (a + 1) / (a + b + 2)) return (front * betaFraction(x, a, b)) / a;
  return 1 - (front * betaFraction(rest, b, a)) / b;
}

/** The quantile of a distribution function that rises from `low` to `high`: halving, to the last bit. */
function bisect(cdf: (x: number) => number, share: number, low: number, high: number): number {
  let [under, over] = [low, high];
  for (let step = 0; step < 2000; step++) {
    const middle = under + (over - under) / 2;
    if (middle === under || middle === over) return middle;
    if (cdf(middle) < share) under = middle;
    else over = middle;
  }
  return under;
}

export function betaQuantile(share: number, a: number, b: number): number {
  return bisect((x) => regularisedBeta(x, a, b), share, 0, 1);
}

/** Φ(z): the series about 0 (Marsaglia 2004, J. Stat. Software 11(4)), in the tails the fraction of Mills' ratio. */
export function normalCdf(z: number): number {
  const density = Math.exp(-0.5 * z * z - halfLogTwoPi);
  const x = Math.abs(z);
  if (x < 5) {
    let term = x;
    let sum = x;
    for (let k = 3; sum + term !== sum; k += 2) {
      term *= (x * x) / k;
      sum += term;
    }
    if (z >= 0) return 0.5 + density * sum;
    // Near 0 nothing is lost by the difference; further out the fraction is used.
    if (x < 1) return 0.5 - density * sum;
  }
  let fraction = x;
  for (let k = x < 2 ? 400 : 150; k > 0; k--) fraction = x + k / fraction;
  const tail = density / fraction;
  return z < 0 ? tail : 1 - tail;
}

/** Φ⁻¹: the approximation 26.2.23 of Abramowitz and Stegun, made exact by Halley's steps. */
export function normalQuantile(share: number): number {
  if (!(share > 0)) return -Infinity;
  if (!(share < 1)) return Infinity;
  if (share > 0.5) return -normalQuantile(1 - share);
  const t = Math.sqrt(-2 * Math.log(share));
  let z = -(t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))));
  for (let step = 0; step < 4; step++) {
    const error = (normalCdf(z) - share) / Math.exp(-0.5 * z * z - halfLogTwoPi);
    z -= error / (1 + (z * error) / 2);
  }
  return z;
}

/** Student's t with `degrees` of freedom. */
export function studentCdf(t: number, degrees: number): number {
  const square = t * t;
  const tail = betaTails(degrees / (degrees + square), square / (degrees + square), degrees / 2, 0.5) / 2;
  return t < 0 ? tail : 1 - tail;
}

export function studentQuantile(share: number, degrees: number): number {
  if (share === 0.5) return 0;
  if (share > 0.5) return -studentQuantile(1 - share, degrees);
  let far = -1;
  while (studentCdf(far, degrees) > share) far *= 2;
  return bisect((t) => studentCdf(t, degrees), share, far, 0);
}

/** The F distribution's distribution function; degrees of freedom above, then below the line. */
export function fCdf(f: number, above: number, below: number): number {
  if (!(f > 0)) return 0;
  return betaTails((above * f) / (above * f + below), below / (above * f + below), above / 2, below / 2);
}

/** 1 - `fCdf`, exact where that is next to 1. */
export function fUpperTail(f: number, above: number, below: number): number {
  if (!(f > 0)) return 1;
  return betaTails(below / (above * f + below), (above * f) / (above * f + below), below / 2, above / 2);
}

export function fQuantile(share: number, above: number, below: number): number {
  let far = 1;
  while (fCdf(far, above, below) < share) far *= 2;
  return bisect((f) => fCdf(f, above, below), share, 0, far);
}
