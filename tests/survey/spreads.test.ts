import { describe, expect, test } from "vitest";
import { CENTRE, LOG_SD } from "../../src/survey/model/scatters.js";
import { spreadUsed } from "../../src/survey/spreads.js";
import type { SpreadUsed } from "../../src/survey/survey.js";

/** A grid over the seating, at places in standard deviations of its prior, all of one weight. */
function spreadAt(...steps: readonly number[]): SpreadUsed {
  const grid = steps.map((step) => ({ weight: 1 / steps.length, scatters: { ...CENTRE, seatingMm: CENTRE.seatingMm * Math.exp(LOG_SD * step) } }));
  return spreadUsed(grid, ({ scatters }) => scatters.seatingMm, CENTRE.seatingMm);
}

describe("a spread that the survey worked with", () => {
  test("is estimated where the readings leave it little of its prior's width, as of values 0.4 about one standard deviation up", () => {
    const found = spreadAt(0.6, 1, 1.4);
    expect(found.basis).toBe("estimated");
    expect(found.valueMm).toBeCloseTo(CENTRE.seatingMm * Math.exp(LOG_SD), 12);
    expect(spreadAt(-1, 0, 1).basis).toBe("prior-dominated");
  });

  test("is not called estimated where it was looked at with one value only, which has no width to judge by", () => {
    expect(spreadAt(1).basis).toBe("prior-dominated");
    expect(spreadAt(1, 1, 1).basis).toBe("prior-dominated");
  });
});
