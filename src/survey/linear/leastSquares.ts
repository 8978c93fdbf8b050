import { Matrix, QrDecomposition, solve } from "ml-matrix";
import { exactResidual } from "./exactResidual.js";
import { checkedColumns, columnLengths, freeColumns, RANK_TOLERANCE, rowSpace } from "./rowSpace.js";

/** Which scatter the uncertainties come from: the stated uncertainty of each observation, or the residuals. */
export type SigmaFrom = "stated" | "residuals";

export type LeastSquaresOptions = {
  readonly sigmaFrom: SigmaFrom;
  /** Smallest singular value of the scaled design that counts, as a share of the largest; 1e-10 where not given. */
  readonly relTol?: number;
};

/** A weighted least-squares solution, or the parameters that the observations leave free. */
export type LeastSquaresFit =
  | {
    readonly status: "fitted";
    readonly sigmaFrom: SigmaFrom;
    readonly parameters: readonly number[];
    /** Standard uncertainties, the roots of the diagonal of `covariance`. */
    readonly uParameters: readonly number[];
    readonly covariance: readonly (readonly number[])[];
    /** Observed less fitted. */
    readonly residuals: readonly number[];
    /** Residual over its own standard deviation; `undefined` where no other observation controls this one. */
    readonly normalisedResiduals: readonly (number | undefined)[];
    /** Share of each observation's error that shows in its residual, 0..1; they add up to `dof`. */
    readonly redundancy: readonly number[];
    /** Weighted sum of squared residuals. */
    readonly chi2: number;
    readonly dof: number;
    /** Factor on the observations' uncertainties: 1 for `stated`, the root of chi2 / dof for `residuals`. */
    readonly sigma: number;
  }
  | {
    readonly status: "undetermined";
    readonly rank: number;
    /** Columns whose parameter the observations do not determine. */
    readonly free: readonly number[];
  };

/** An observation whose redundancy is below this is the only one to say what it says; its residual is rounding. */
const UNCONTROLLED = 1e-9;

/**
 * Weighted linear least squares by Householder QR of the weighted design with columns scaled to length 1.
 * @param design one row per observation, one column per parameter
 * @param observed one number per observation
 * @param uObserved standard uncertainty of each, positive; `undefined`: all alike and unknown, so that sigma must come from the residuals
 * @throws {RangeError} lists of unlike length, numbers that are not finite, uncertainties that are not positive, `stated` without uncertainties, or `residuals` without an observation to spare
 * @source Golub and Van Loan, Matrix Computations, least squares by QR; redundancy and normalised residuals: W. Baarda, A testing procedure for use in geodetic networks, 1968
 */
export function leastSquares(
  design: readonly (readonly number[])[], observed: readonly number[], uObserved: readonly number[] | undefined, options: LeastSquaresOptions,
): LeastSquaresFit {
  const columns = checkedColumns(design);
  const u = checkedUncertainties(design.length, observed, uObserved, options.sigmaFrom);
  const weighted = design.map((row, i) => row.map((value) => value / (u[i] ?? 1)));
  const space = rowSpace(weighted, options.relTol ?? RANK_TOLERANCE);
  if (space.rank < columns) return { status: "undetermined", rank: space.rank, free: freeColumns(space) };
  const dof = design.length - columns;
  if (dof === 0 && options.sigmaFrom === "residuals") {
    throw new RangeError(`Cannot take sigma from the residuals of ${columns} parameters: expected ${columns + 1} observations or more, got ${design.length} (state their uncertainties or add one)`);
  }
  return fitted(design, observed, u, weighted, options.sigmaFrom, dof);
}

function fitted(
  design: readonly (readonly number[])[], observed: readonly number[], u: readonly number[], weighted: readonly (readonly number[])[], sigmaFrom: SigmaFrom, dof: number,
): LeastSquaresFit {
  const scale = columnLengths(weighted, design[0]?.length ?? 0);
  const qr = new QrDecomposition(weighted.map((row) => row.map((value, j) => value / (scale[j] ?? 1))));
  const solved = (right: readonly number[]): number[] => qr.solve(Matrix.columnVector(right.map((value, i) => value / (u[i] ?? 1)))).to1DArray().map((value, j) => value / (scale[j] ?? 1));
  const residualsOf = (parameters: readonly number[]): number[] => observed.map((value, i) => exactResidual(value, design[i] ?? [], parameters));
  const first = solved(observed);
  const correction = solved(residualsOf(first));
  const parameters = first.map((value, j) => value + (correction[j] ?? 0));
  const residuals = residualsOf(parameters);
  const chi2 = residuals.reduce((sum, value, i) => sum + (value / (u[i] ?? 1)) ** 2, 0);
  const sigma = sigmaFrom === "stated" ? 1 : Math.sqrt(chi2 / dof);
  const covariance = scaledCovariance(qr.upperTriangularMatrix, scale, sigma);
  const redundancy = qr.orthogonalMatrix.to2DArray().map((row) => Math.max(0, 1 - row.reduce((sum, value) => sum + value * value, 0)));
  const normalisedResiduals = residuals.map((value, i) => {
    const share = redundancy[i] ?? 0;
    return share > UNCONTROLLED && sigma > 0 ? value / (sigma * (u[i] ?? 1) * Math.sqrt(share)) : undefined;
  });
  const uParameters = covariance.map((row, j) => Math.sqrt(row[j] ?? 0));
  return { status: "fitted", sigmaFrom, parameters, uParameters, covariance, residuals, normalisedResiduals, redundancy, chi2, dof, sigma };
}

function scaledCovariance(upper: Matrix, scale: readonly number[], sigma: number): readonly (readonly number[])[] {
  const root = solve(upper, Matrix.eye(upper.rows));
  return root.mmul(root.transpose()).to2DArray().map((row, i) => row.map((value, j) => ((value / (scale[i] ?? 1)) / (scale[j] ?? 1)) * sigma * sigma));
}

function checkedUncertainties(count: number, observed: readonly number[], uObserved: readonly number[] | undefined, sigmaFrom: SigmaFrom): readonly number[] {
  if (observed.length !== count) throw new RangeError(`Cannot fit: expected ${count} observed numbers, one for each row, got ${observed.length}`);
  const odd = observed.findIndex((value) => !Number.isFinite(value));
  if (odd >= 0) throw new RangeError(`Cannot fit: expected finite observed numbers, got ${observed[odd]} in row ${odd}`);
  if (uObserved === undefined) {
    if (sigmaFrom === "stated") throw new RangeError("Cannot fit with stated uncertainties: expected one for each observation, got none (give them, or take sigma from the residuals)");
    return observed.map(() => 1);
  }
  if (uObserved.length !== count) throw new RangeError(`Cannot fit: expected ${count} uncertainties, one for each row, got ${uObserved.length}`);
  const bad = uObserved.findIndex((value) => !(value > 0 && Number.isFinite(value)));
  if (bad >= 0) throw new RangeError(`Cannot fit: expected positive finite uncertainties, got ${uObserved[bad]} in row ${bad}`);
  return uObserved;
}
