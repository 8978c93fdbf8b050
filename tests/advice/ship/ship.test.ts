import { describe, expect, test } from "vitest";
import { shipReport } from "../../../src/advice/ship/ship.js";
import type { Survey } from "../../../src/survey/survey.js";
import { inventedSurvey } from "../levelPlan/surveyed.js";

const survey = inventedSurvey();
const withState = (state: Readonly<Record<string, string>>): Survey => ({ ...survey, sheet: { ...survey.sheet, state: { ...survey.sheet.state, ...state } } });

describe("what the words of the readings say", () => {
  test.each([
    ["pressed, not levelled", []],
    ["to be levelled and crowned", []],
    ["unseated", []],
    ["partly levelled", []],
    ["seated, to be levelled", ["seated and checked"]],
    ["levelled and crowned", ["seated and checked", "levelled", "crowned and ends dressed"]],
    ["levelled, crowned, ends not dressed", ["seated and checked", "levelled"]],
    ["crowned, not levelled", ["seated and checked", "crowned and ends dressed"]],
    ["set up", ["seated and checked", "levelled", "crowned and ends dressed", "set up"]],
  ])("done by %s", (fretState, done) => expect(shipReport(withState({ fretState })).done).toEqual(done));

  test.each([["at pitch", "determined"], ["tuned to E", "determined"], ["off, detuned", "strings off"], ["not on", "strings off"], ["on, slack", "is not clear"]])("relief under strings of a neck read with its strings %s", (strings, found) => {
    const checks = shipReport(withState({ strings })).checks;
    const under = checks.find(({ what }) => what === "relief under strings");
    if (found === "determined") expect(under?.found).toMatch(/give or take/);
    else expect(under?.reason).toContain(found);
    expect(checks.some(({ what }) => what.startsWith("straightness as it lies"))).toBe(found === "strings off");
  });
});
