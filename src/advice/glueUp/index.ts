export { glueUpAdvice } from "./glueUpAdvice.js";
export type { GlueUpAdvice, GlueUpDecision, GlueUpQuestion } from "./glueUpAdvice.js";
export { settlingAdvice } from "./settled.js";
export type { ReliefAtTime, SettlingAdvice, SettlingDecision } from "./settled.js";
