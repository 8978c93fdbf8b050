/**
 * observed - row · parameters with twice the working precision inside, so that a correction step has something to work on.
 * @source T. Ogita, S. M. Rump, S. Oishi, Accurate sum and dot product, SIAM J. Sci. Comput. 26, 2005 (Dot2; products by Dekker, sums by Knuth)
 */
export function exactResidual(observed: number, row: readonly number[], parameters: readonly number[]): number {
  let sum = observed;
  let lost = 0;
  for (const [j, factor] of row.entries()) {
    const parameter = parameters[j] ?? 0;
    const product = -factor * parameter;
    const next = sum + product;
    const part = next - sum;
    lost += sum - (next - part) + (product - part) + productError(-factor, parameter, product);
    sum = next;
  }
  const residual = sum + lost;
  return Number.isFinite(residual) ? residual : observed - row.reduce((total, factor, j) => total + factor * (parameters[j] ?? 0), 0);
}

/** a b - product, exactly (unless a or b is beyond 1e300, where halves overflow). */
function productError(a: number, b: number, product: number): number {
  const [aHigh, aLow] = halves(a);
  const [bHigh, bLow] = halves(b);
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

function halves(value: number): readonly [number, number] {
  const spread = 134_217_729 * value;
  const high = spread - (spread - value);
  return [high, value - high];
}
