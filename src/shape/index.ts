export { reliefs } from "./relief.js";
export type { Relief, ReliefDefinition } from "./relief.js";
