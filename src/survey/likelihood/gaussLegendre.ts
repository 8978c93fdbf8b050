/** Nodes and weights for integrals over 0..1; the weights add up to 1. */
export type Quadrature = { readonly nodes: Float64Array; readonly weights: Float64Array };

/**
 * Gauss-Legendre rule on 0..1, exact for polynomials up to degree 2n - 1.
 * @param count number of nodes, 1 or more
 * @throws {RangeError} a count that is not a whole number of 1 or more
 * @source Newton's method on the three-term recurrence of the Legendre polynomials (NIST DLMF 18.9.1, 3.5.v)
 */
export function gaussLegendre(count: number): Quadrature {
  if (!Number.isInteger(count) || count < 1) throw new RangeError(`Cannot place nodes: expected a whole number of 1 or more, got ${count}`);
  const nodes = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let index = 0; index < count; index++) {
    let x = Math.cos((Math.PI * (index + 0.75)) / (count + 0.5));
    for (let step = 0; step < 8; step++) {
      const { value, slope } = legendre(count, x);
      x -= value / slope;
    }
    const { slope } = legendre(count, x);
    nodes[index] = (1 - x) / 2;
    weights[index] = 1 / ((1 - x * x) * slope * slope);
  }
  return { nodes, weights };
}

function legendre(degree: number, x: number): { value: number; slope: number } {
  let before = 1;
  let value = x;
  for (let k = 2; k <= degree; k++) [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
  return { value, slope: (degree * (before - x * value)) / (1 - x * x) };
}
