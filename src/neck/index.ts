export type * from "./neck.js";
export { readNeck } from "./neckFile.js";
export { fretDistanceMm, fretTops } from "./frets.js";
export { acrossMm, radiusDropMm, widthMm } from "./surface.js";
export { limitsOf } from "./limits.js";
export type { LimitKey, Limits } from "./limits.js";
export { nearestName } from "./nearest.js";
