export { adjust } from "./adjust.js";
export { twistTerms } from "./twist.js";
export type * from "./survey.js";
