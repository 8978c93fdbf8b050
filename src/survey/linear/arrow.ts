export { addOuter, arrowMatrix, copyArrow } from "./arrowMatrix.js";
export type { ArrowMatrix, ArrowShape, SparseRow } from "./arrowMatrix.js";
export { drawFrom, factorArrow, logDeterminant, rowVariance, solveArrow } from "./arrowFactor.js";
export type { ArrowFactor } from "./arrowFactor.js";
export { rowVariances } from "./selectedInverse.js";
