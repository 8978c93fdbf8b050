export { adjust } from "./adjust.js";
export { twistTerms } from "./twist.js";
export type * from "./survey.js";
export { adjustTogether } from "./together.js";
export type { Together } from "./together.js";
export type { Difference, FretShift, LineShift } from "./difference.js";
export { stringCheck, tautStringSagMm, threeEdgeCheck } from "./edgeChecks.js";
export type { CheckedGap, EdgeBow } from "./edgeChecks.js";
