export { addOuter, arrowPattern, entryAt } from "./arrowPattern.js";
export type { ArrowPattern, SparseRow } from "./arrowPattern.js";
export type { ArrowShape } from "./elimination.js";
export { drawFrom, factorArrow, fillInverse, logDeterminant, rowCovariances, rowVariance, solveArrow, solvePlaced } from "./arrowFactor.js";
export type { ArrowFactor } from "./arrowFactor.js";
export { rowVariances } from "./rowVariances.js";
