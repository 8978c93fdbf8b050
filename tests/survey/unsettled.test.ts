import { expect, test } from "vitest";
import { surveyOf } from "../../src/survey/adjust.js";
import { soundSurvey } from "../../src/survey/blunders.js";
import type { Sound } from "../../src/survey/blunders.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { NECK, bowed, lineNamed, sheet, sweep } from "./bench.js";

test("a reckoning that did not come to rest is told as rough; one that did says nothing of it", () => {
  const readings = sheet([sweep(bowed(0.2), lineNamed("centre"))]);
  const all = usableReadings(NECK, readings);
  const sound = soundSurvey(NECK, readings, all);
  const [likeliest] = sound.explanations;
  const restless: Sound = { ...sound, explanations: [{ ...likeliest, grid: likeliest.grid.map((point) => ({ ...point, posterior: { ...point.posterior, converged: false } })) }] };
  const common = { neck: NECK, sheet: readings, assumed: [], notes: ["typed by hand"] };
  expect(surveyOf(common, all, sound, 0).notes).toEqual(["typed by hand"]);
  expect(surveyOf(common, all, restless, 0).notes.join("\n")).toContain("did not come to rest: take every number for rough");
});
