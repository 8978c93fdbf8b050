export { verdict } from "./verdict.js";
export type { Verdict } from "./verdict.js";
export * from "./levelPlan/index.js";
export { sureWords } from "./advice.js";
export type { Advice } from "./advice.js";
export * from "./rod/index.js";
export * from "./glueUp/index.js";
export { fitCheck } from "./fit/fitCheck.js";
export type { FitAdvice, FitDecision, FitReadings, RodSeat } from "./fit/fitCheck.js";
