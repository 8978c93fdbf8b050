export { verdict } from "./verdict.js";
export type { Verdict } from "./verdict.js";
export * from "./levelPlan/index.js";
