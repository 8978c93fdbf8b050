export { adjust } from "./adjust.js";
export type * from "./survey.js";
