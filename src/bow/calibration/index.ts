export { believed, believedDraws, believedValues, middleUnknowns, priorBelief } from "./belief.js";
export type { BelievedValue, BowBelief, BowPrediction } from "./belief.js";
export { calibrated, MODEL_SHARE_U } from "./calibrate.js";
export type { BowCalibration, BowFit, BowObservation } from "./calibrate.js";
export { batchAfter, COMMON_SHARES, newBatch } from "./batch.js";
export type { BatchBelief, BatchShares } from "./batch.js";
