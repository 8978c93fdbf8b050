import { expect, test } from "vitest";
import { fretHeights, fretReport } from "neck-survey";
import { normalCdf } from "../../src/survey/likelihood/normal.js";
import { overNeckLine } from "../../src/frets/places.js";
import { surveyed } from "./bench.js";

test("how likely a hardly read fret is high is told by its draws, which a normal distribution of the same spread is not", () => {
  const survey = surveyed("fret centre\n1 touch\n4 5\n8 7\n12 4\n16 touch\n");
  const heights = fretHeights(survey);
  const others = survey.draws(heights.map((place) => overNeckLine(survey.neck, place)), 60_000, 977);
  const [drawn, normal] = [heights.map((_, at) => others.filter((draw) => (draw[at] ?? NaN) > 0.03).length / others.length), heights.map(({ high }) => normalCdf((high.value - 0.03) / high.u))];
  for (const [at, { probabilityHigh }] of heights.entries()) {
    // three standard errors of the difference between two counts, of the 4,000 draws of the report and of these
    const luck = 3 * Math.sqrt(probabilityHigh * (1 - probabilityHigh) * (1 / 4000 + 1 / others.length));
    expect(Math.abs(probabilityHigh - (drawn[at] ?? NaN))).toBeLessThanOrEqual(luck);
  }
  const apart = heights.map(({ probabilityHigh }, at) => Math.abs(probabilityHigh - (normal[at] ?? NaN)));
  expect(Math.max(...apart)).toBeGreaterThan(0.009);
  for (const { fret, probabilityOver } of fretReport(survey).frets) expect(probabilityOver).toBe(heights.find((height) => height.fret === fret)?.probabilityHigh);
});
