import { Matrix, solve } from "ml-matrix";
import { truncatedNormal } from "../../src/survey/likelihood/truncatedNormal.js";
import { leastSquares } from "../../src/survey/linear/leastSquares.js";

/** One observation: what it says of y = design · beta + sigma · noise. Exact where low = high. */
export type CensoredRow = { readonly design: readonly number[]; readonly low: number; readonly high: number; readonly count: number };

export type CensoredFit = {
  readonly beta: readonly number[];
  readonly sigma: number;
  readonly logLikelihood: number;
  /** Standard errors of beta, then of ln sigma, from the observed information. */
  readonly standardErrors: readonly number[];
};

type Moments = { readonly logProbability: number; readonly mean: number; readonly variance: number };

/**
 * Maximum likelihood of a line from intervals: the expectation-maximisation of normal data, its moments those of `truncatedNormal`,
 * each step a `leastSquares`, then Newton's method on the score made of the same moments.
 */
export function fitIntervals(rows: readonly CensoredRow[], start: { readonly beta: readonly number[]; readonly sigma: number }): CensoredFit {
  let { beta, sigma } = start;
  for (let step = 0; step < 300; step++) ({ beta, sigma } = maximised(rows, beta, sigma));
  let at = [...beta, Math.log(sigma)];
  for (let step = 0; step < 8; step++) {
    const change = solve(information(rows, at), Matrix.columnVector(score(rows, at))).to1DArray();
    at = at.map((value, k) => value + (change[k] ?? 0));
  }
  const covariance = solve(information(rows, at), Matrix.eye(at.length));
  const [foundBeta, foundSigma] = parts(at);
  return { beta: foundBeta, sigma: foundSigma, logLikelihood: logLikelihood(rows, foundBeta, foundSigma), standardErrors: covariance.diagonal().map(Math.sqrt) };
}

export function logLikelihood(rows: readonly CensoredRow[], beta: readonly number[], sigma: number): number {
  return rows.reduce((sum, row) => sum + row.count * moments(row, fittedAt(row, beta), sigma).logProbability, 0);
}

function maximised(rows: readonly CensoredRow[], beta: readonly number[], sigma: number): { beta: readonly number[]; sigma: number } {
  const expected = rows.map((row) => moments(row, fittedAt(row, beta), sigma));
  const fit = leastSquares(rows.map((row) => row.design), expected.map((e) => e.mean), rows.map((row) => 1 / Math.sqrt(row.count)), { sigmaFrom: "stated" });
  if (fit.status !== "fitted") throw new Error(`undetermined: rank ${fit.rank}`);
  const total = rows.reduce((sum, row) => sum + row.count, 0);
  const spread = rows.reduce((sum, row, i) => sum + row.count * ((expected[i]?.variance ?? 0) + (fit.residuals[i] ?? 0) ** 2), 0);
  return { beta: fit.parameters, sigma: Math.sqrt(spread / total) };
}

function moments(row: CensoredRow, mean: number, sigma: number): Moments {
  if (row.low < row.high) return truncatedNormal(mean, sigma, row.low, row.high);
  const z = (row.low - mean) / sigma;
  return { logProbability: -(z * z) / 2 - Math.log(sigma) - Math.log(2 * Math.PI) / 2, mean: row.low, variance: 0 };
}

/** Slopes of the log likelihood in beta and ln sigma. */
function score(rows: readonly CensoredRow[], at: readonly number[]): number[] {
  const [beta, sigma] = parts(at);
  const slopes = at.map(() => 0);
  for (const row of rows) {
    const fitted = fittedAt(row, beta);
    const { mean, variance } = moments(row, fitted, sigma);
    for (const [j, x] of row.design.entries()) slopes[j] = (slopes[j] ?? 0) + (row.count * x * (mean - fitted)) / sigma ** 2;
    slopes[beta.length] = (slopes[beta.length] ?? 0) + row.count * ((variance + (mean - fitted) ** 2) / sigma ** 2 - 1);
  }
  return slopes;
}

/** Less the slopes of the score, by central differences of fourth order. */
function information(rows: readonly CensoredRow[], at: readonly number[]): Matrix {
  const columns = at.map((value, k) => {
    const h = 1e-3 * Math.max(1e-2, Math.abs(value));
    const moved = (steps: number): number[] => score(rows, at.map((v, j) => (j === k ? v + steps * h : v)));
    const [a, b, c, d] = [moved(-2), moved(-1), moved(1), moved(2)] as const;
    return at.map((_, j) => -((a[j] ?? 0) - 8 * (b[j] ?? 0) + 8 * (c[j] ?? 0) - (d[j] ?? 0)) / (12 * h));
  });
  return new Matrix(columns);
}

function fittedAt(row: CensoredRow, beta: readonly number[]): number {
  return row.design.reduce((sum, x, j) => sum + x * (beta[j] ?? 0), 0);
}

function parts(at: readonly number[]): readonly [readonly number[], number] {
  return [at.slice(0, -1), Math.exp(at.at(-1) ?? Number.NaN)];
}
