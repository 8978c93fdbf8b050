export { equilibriumMoisturePercent } from "./equilibrium.js";
export type { Climate } from "./equilibrium.js";
export { seasonalChange } from "./season.js";
export type { FreeStrain, FretEnds, SeasonalChange } from "./season.js";
