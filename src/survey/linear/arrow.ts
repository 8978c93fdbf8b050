export { addOuter, arrowPattern, entryAt } from "./arrowPattern.js";
export type { ArrowPattern, SparseRow } from "./arrowPattern.js";
export type { ArrowShape } from "./elimination.js";
export { drawFrom, factorArrow, inverseEntries, keptFactor, logDeterminant, rowCovariances, rowVariance, solveArrow, solvePlaced, standingFactor } from "./arrowFactor.js";
export type { ArrowFactor, StandingFactor } from "./arrowFactor.js";
export { rowVariances } from "./rowVariances.js";
