import { Matrix, solve } from "ml-matrix";

/**
 * The minimum zone as a linear program in three unknowns: least w subject to 0 <= y - (a + b x) <= w at all points.
 * Solved in its dual by trying every basis of three constraints: slow, and independent of hulls.
 * A basis (three points, some above and some below) is the best where it can be solved and breaks no other constraint.
 */
export function zoneByLinearProgram(x: readonly number[], y: readonly number[]): number {
  const scale = Math.max(1, ...x.map(Math.abs));
  const rows = x.flatMap((value, at) => [
    { row: [1, value / scale, 0], right: y[at] ?? NaN },
    { row: [-1, -value / scale, -1], right: -(y[at] ?? NaN) },
  ]);
  let least = Infinity;
  for (let i = 0; i < rows.length; i++) {
    for (let j = i + 1; j < rows.length; j++) {
      for (let k = j + 1; k < rows.length; k++) {
        const basis = [rows[i], rows[j], rows[k]].flatMap((row) => (row === undefined ? [] : [row]));
        const vertex = corner(basis.map(({ row }) => row), basis.map(({ right }) => right));
        if (vertex === undefined || (vertex[2] ?? Infinity) >= least) continue;
        if (rows.every(({ row, right }) => row.reduce((sum, value, at) => sum + value * (vertex[at] ?? 0), 0) <= right + 1e-10)) least = vertex[2] ?? Infinity;
      }
    }
  }
  return least;
}

function corner(rows: readonly (readonly number[])[], right: readonly number[]): readonly number[] | undefined {
  const [a = [], b = [], c = []] = rows;
  const determinant = (a[0] ?? 0) * ((b[1] ?? 0) * (c[2] ?? 0) - (b[2] ?? 0) * (c[1] ?? 0)) - (a[1] ?? 0) * ((b[0] ?? 0) * (c[2] ?? 0) - (b[2] ?? 0) * (c[0] ?? 0)) + (a[2] ?? 0) * ((b[0] ?? 0) * (c[1] ?? 0) - (b[1] ?? 0) * (c[0] ?? 0));
  if (Math.abs(determinant) < 1e-12) return undefined;
  return solve(new Matrix(rows.map((row) => [...row])), Matrix.columnVector([...right])).to1DArray();
}
