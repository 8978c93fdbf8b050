export { openingFor } from "./opening.js";
export type { OpeningAnswer } from "./opening.js";
export { interferenceBehind } from "./behind.js";
export type { InterferenceAnswer } from "./behind.js";
export { ROD_CAUTION, rodTurnsFor } from "./rodTurns.js";
export type { RodTurnsAnswer } from "./rodTurns.js";
export { stiffnessFor } from "./stiffness.js";
export type { StiffnessAnswer } from "./stiffness.js";
