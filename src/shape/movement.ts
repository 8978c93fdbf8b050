import { CholeskyDecomposition, Matrix } from "ml-matrix";

/**
 * How likely drawn changes are to lie at least as far from their mean as no change at all does, far being taken by their own covariance:
 * small where no change is out of the question. One draw is counted as farther, so that it is never 0.
 * @param draws one list of changes a draw, all alike long
 */
export function chanceOfNothing(draws: readonly (readonly number[])[]): number {
  const size = draws[0]?.length ?? 0;
  const mean = Array.from({ length: size }, (_, at) => draws.reduce((sum, draw) => sum + (draw[at] ?? 0), 0) / draws.length);
  const apart = draws.map((draw) => draw.map((value, at) => value - (mean[at] ?? 0)));
  const deviations = new Matrix(apart.map((row) => [...row]));
  const covariance = deviations.transpose().mmul(deviations).mul(1 / draws.length);
  if (!(Math.max(...covariance.diagonal()) > 0)) return mean.every((value) => value === 0) ? 1 : 1 / (1 + draws.length);
  // a change that follows from the others to rounding would make the matrix singular
  const ridge = 1e-9 * Math.max(Number.MIN_VALUE, ...covariance.diagonal());
  const cholesky = new CholeskyDecomposition(covariance.add(Matrix.eye(size).mul(ridge)));
  const distance = (change: readonly number[]): number => {
    const column = Matrix.columnVector([...change]);
    return column.transpose().mmul(cholesky.solve(column)).get(0, 0);
  };
  const nothing = distance(mean);
  return (1 + apart.filter((change) => distance(change) >= nothing).length) / (1 + draws.length);
}
