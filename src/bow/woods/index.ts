export { knownWoods, modulusAtMoisture, woodProperties } from "./woodProperties.js";
export type { WoodProperties } from "./woodProperties.js";
