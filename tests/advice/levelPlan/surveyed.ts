import { readNeck } from "../../../src/neck/neckFile.js";
import type { Neck } from "../../../src/neck/neck.js";
import { readBenchText } from "../../../src/readings/benchText.js";
import { adjust } from "../../../src/survey/adjust.js";
import type { Survey } from "../../../src/survey/survey.js";
import { valueOrThrow } from "../../../src/units/problem.js";
import { MOSSLARK } from "./mosslark.mjs";

/** The invented neck, with what a test changes of it. */
export function inventedNeckFile(change: Readonly<Record<string, unknown>> = {}): Neck {
  return valueOrThrow(readNeck({ ...MOSSLARK.neck, ...change }, "neck.json"), "the neck");
}

/** Its survey before levelling. */
export function inventedSurvey(neck: Neck = inventedNeckFile(), state: Readonly<Record<string, string>> = {}, more = ""): Survey {
  return inventedSurveyOf(MOSSLARK.readings + more, neck, state);
}

/** The same neck with other readings. */
export function inventedSurveyOf(readings: string, neck: Neck = inventedNeckFile(), state: Readonly<Record<string, string>> = {}): Survey {
  const about = { source: "table", stage: "before levelling", date: "2026-05-11", state: { rod: "neutral", strings: "off", ...state } };
  return adjust(neck, valueOrThrow(readBenchText(neck, readings, about), "the readings"));
}
