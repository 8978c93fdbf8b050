export { reliefs } from "./relief.js";
export type { Relief, ReliefDefinition } from "./relief.js";
export { heightAt, neckLines } from "./profile.js";
export type { Profile } from "./profile.js";
