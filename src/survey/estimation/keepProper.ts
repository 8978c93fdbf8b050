import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { invertSmall } from "../linear/smallSpd.js";
import type { MixtureWork, PreparedMixture } from "./mixtureMoments.js";

/**
 * A fret between two classes can be more uncertain than its readings alone make it; its normal would then have to take precision away from
 * what the readings say, and these, taken out in turn, would leave nothing proper, or a fret far from any class. Where base and site together would be
 * no such distribution, their precision is raised in that direction; the mean stays, and the uncertainty is a little under that of the two classes.
 * @param after inverse covariance of context times site, whose moments stand in `work`; raised where it must be
 */
export function keepProper(mixture: PreparedMixture, work: MixtureWork, after: Float64Array): void {
  const { size, precision, shift, mean, matrix, factor, right, covariance } = work;
  const least = 1 / mixture.widest ** 2;
  for (let i = 0; i < size; i++) {
    let pull = -(shift[i] ?? 0) - mixture.basePrecision * (mean[i] ?? 0);
    for (let j = 0; j < size; j++) {
      pull += (precision[i * size + j] ?? 0) * (mean[j] ?? 0);
      matrix[i * size + j] = (after[i * size + j] ?? 0) - (precision[i * size + j] ?? 0);
    }
    right[i] = pull;
    matrix[i * (size + 1)] = (matrix[i * (size + 1)] ?? 0) + mixture.basePrecision - least;
  }
  if (invertSmall(matrix, size, factor, covariance) !== undefined && isBetween(mixture, covariance, right, mean)) return;
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(Matrix.from1DArray(size, size, matrix), { assumeSymmetric: true });
  for (const [k, value] of realEigenvalues.entries()) {
    const direction = eigenvectorMatrix.getColumn(k);
    const raise = Math.max(least, leastPrecision(mixture, dotWith(direction, right), dotWith(direction, mean), direction)) - least - value;
    if (!(raise > 0)) continue;
    for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) after[i * size + j] = (after[i * size + j] ?? 0) + raise * (direction[i] ?? 0) * (direction[j] ?? 0);
  }
}

/** The precision with which a pull at a mean comes from a centre no farther out than the classes'. */
function leastPrecision({ classes, beyond }: PreparedMixture, pull: number, mean: number, direction: readonly number[]): number {
  const centres = classes.map((one) => dotWith(direction, one.mean));
  const limit = pull > 0 ? Math.max(...centres) + beyond : Math.min(...centres) - beyond;
  return Math.max(0, pull / (limit - mean));
}

function dotWith(direction: readonly number[], vector: Float64Array): number {
  return direction.reduce((sum, value, i) => sum + value * (vector[i] ?? 0), 0);
}

/** Whether the centre lies among those of the classes, form by form, if the precision less the least one is the inverse of `covariance`. */
function isBetween({ classes, beyond }: PreparedMixture, covariance: Float64Array, pull: Float64Array, mean: Float64Array): boolean {
  const size = pull.length;
  for (let i = 0; i < size; i++) {
    let centre = mean[i] ?? 0;
    for (let j = 0; j < size; j++) centre += (covariance[i * size + j] ?? 0) * (pull[j] ?? 0);
    let low = Infinity;
    let high = -Infinity;
    for (const one of classes) {
      low = Math.min(low, one.mean[i] ?? 0);
      high = Math.max(high, one.mean[i] ?? 0);
    }
    if (!(centre > low - beyond && centre < high + beyond)) return false;
  }
  return true;
}
