import { normalQuantile } from "../survey/likelihood/normal.js";

/**
 * Probability that a Student variable of whole degrees of freedom exceeds t >= 0 in one direction, exact finite series.
 * @source Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 (odd) and 26.7.4 (even)
 * @example near(studentTail(1, 1), 0.25, { abs: 1e-15 });
 */
export function studentTail(t: number, dof: number): number {
  const theta = Math.atan2(t, Math.sqrt(dof));
  const cosSquared = dof / (dof + t * t);
  const isOdd = dof % 2 === 1;
  let term = isOdd ? Math.cos(theta) : 1;
  let sum = dof === 1 ? 0 : term;
  for (let power = isOdd ? 3 : 2; power <= dof - 2; power += 2) {
    term *= (cosSquared * (power - 1)) / power;
    sum += term;
  }
  return isOdd ? 0.5 - (theta + Math.sin(theta) * sum) / Math.PI : 0.5 * (1 - Math.sin(theta) * sum);
}

/**
 * Quantile of Student's t for whole degrees of freedom, upper half.
 * @param p probability not to exceed it, 0.5 to below 1
 * @throws {RangeError} a probability outside 0.5 to 1, or degrees of freedom that are not a whole number from 1
 * @example near(studentQuantile(0.975, 10), 2.228138852, { abs: 1e-9 });
 */
export function studentQuantile(p: number, dof: number): number {
  if (!(p >= 0.5 && p < 1) || !Number.isInteger(dof) || dof < 1) throw new RangeError(`Cannot give a quantile of Student's t: expected a probability from 0.5 to 1 and whole degrees of freedom, got ${p} and ${dof}`);
  let low = 0;
  let high = Math.max(1, normalQuantile(p));
  while (studentTail(high, dof) > 1 - p) [low, high] = [high, 2 * high];
  while (high - low > 1e-14 * high) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (studentTail(middle, dof) > 1 - p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
