export { addOuter, arrowPattern, entryAt } from "./arrowPattern.js";
export type { ArrowPattern, SparseRow } from "./arrowPattern.js";
export type { ArrowShape } from "./elimination.js";
export { drawFrom, factorArrow, logDeterminant, rowCovariances, rowVariance, solveArrow, solveBackward, solveForward } from "./arrowFactor.js";
export type { ArrowFactor } from "./arrowFactor.js";
export { rowVariances } from "./rowVariances.js";
export { fillInverse } from "./selectedInverse.js";
