/** Where a function takes a value, or that it does not between the ends. */
export type Crossing = { readonly status: "found"; readonly at: number } | { readonly status: "outside"; readonly atLow: number; readonly atHigh: number };

const MOST_STEPS = 80;

/**
 * Where a continuous function takes a value between two ends, by false position with the weights of the Illinois rule.
 * @param f a function of one number
 * @param value what it should be
 * @param tolerance of the place, in its own unit
 * @returns the place, or the function's values at the ends if both lie on one side
 * @source M. Dowell and P. Jarratt, BIT 11 (1971) 168 (from memory); bisection where a step would not halve the bracket in three
 * @example equal(crossing((x) => x * x, 2, 0, 2, 1e-12).status, "found");
 */
export function crossing(f: (x: number) => number, value: number, low: number, high: number, tolerance: number): Crossing {
  let [a, b, fa, fb] = [low, high, f(low) - value, f(high) - value];
  if (fa === 0) return { status: "found", at: a };
  if (fb === 0) return { status: "found", at: b };
  if (Number.isNaN(fa + fb) || fa < 0 === fb < 0) return { status: "outside", atLow: fa + value, atHigh: fb + value };
  let [weightA, weightB] = [fa, fb];
  for (let step = 0; step < MOST_STEPS && Math.abs(b - a) > tolerance; step++) {
    const x = step % 3 === 2 ? (a + b) / 2 : (a * weightB - b * weightA) / (weightB - weightA);
    const fx = f(x) - value;
    if (fx === 0) return { status: "found", at: x };
    if (fx < 0 !== fb < 0) [a, fa, weightA] = [b, fb, fb];
    else weightA /= 2;
    [b, fb, weightB] = [x, fx, fx];
  }
  return { status: "found", at: Math.abs(fa) < Math.abs(fb) ? a : b };
}
