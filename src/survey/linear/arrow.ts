export { addOuter, arrowPattern, entryAt } from "./arrowPattern.js";
export type { ArrowPattern, ArrowShape, SparseRow } from "./arrowPattern.js";
export { drawFrom, factorArrow, logDeterminant, rowVariance, solveArrow, solveBackward, solveForward } from "./arrowFactor.js";
export type { ArrowFactor } from "./arrowFactor.js";
export { rowVariances } from "./rowVariances.js";
export { fillInverse } from "./selectedInverse.js";
