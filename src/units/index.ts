export { MM_PER_THOU, lengthMm } from "./length.js";
export type { LengthUnit } from "./length.js";
export { NORMAL_95, normalMm } from "./measured.js";
export type { Measured } from "./measured.js";
export { problemSentence, valueOrThrow } from "./problem.js";
export type { Outcome, Problem } from "./problem.js";
export { bowWords, distanceWords, giveOrTakeMm, lengthWords, measuredWords } from "./words.js";
export type { UnitOrder } from "./words.js";
export { capital } from "./text.js";
