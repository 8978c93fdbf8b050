import { CholeskyDecomposition, Matrix } from "ml-matrix";

/**
 * How likely chance alone brings changes at least as far from none as those found, far being taken by the covariance of what chance brings.
 * One draw is counted as farther, so that it is never 0.
 * @param foundMm changes found
 * @param byChance draws of what they come to by chance, about zero, all as long as `foundMm`
 */
export function chanceOfSuch(foundMm: readonly number[], byChance: readonly (readonly number[])[]): number {
  const deviations = new Matrix(byChance.map((row) => [...row]));
  const covariance = deviations.transpose().mmul(deviations).mul(1 / byChance.length);
  const most = Math.max(...covariance.diagonal());
  if (!(most > 0)) return foundMm.every((value) => value === 0) ? 1 : 1 / (1 + byChance.length);
  // a change that follows from the others to rounding would make the matrix singular
  const cholesky = new CholeskyDecomposition(covariance.add(Matrix.eye(foundMm.length).mul(1e-9 * most)));
  const distance = (change: readonly number[]): number => {
    const column = Matrix.columnVector([...change]);
    return column.transpose().mmul(cholesky.solve(column)).get(0, 0);
  };
  const found = distance(foundMm);
  return (1 + byChance.filter((change) => distance(change) >= found).length) / (1 + byChance.length);
}
