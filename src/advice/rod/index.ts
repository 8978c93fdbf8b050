export { rodAdvice } from "./rodAdvice.js";
export type { RodAdvice, RodDecision, RodQuestion } from "./rodAdvice.js";
export { rodQuestionOf } from "./fromBowModel.js";
export { reliefAdded, rodTest, turnWords } from "./rodTest.js";
export type { RodReturn, RodTest, RodWayResult } from "./rodTest.js";
export type { RodGuess, RodReading } from "./rodGrid.js";
export type { RodTurns } from "./rodTurns.js";
export { middleRelief } from "./middleRelief.js";
export type { MiddleRelief } from "./middleRelief.js";
