import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { describe, expect, test } from "vitest";
import { adjust } from "neck-survey";
import { logEvidenceWithout, logProbabilityOfOneMore } from "../../src/survey/evidence.js";
import { topPoint } from "../../src/survey/explanation.js";
import type { Explanation } from "../../src/survey/explanation.js";
import { explanationsOf } from "../../src/survey/explanations.js";
import { readingSite, scatterLook, sitesBeforehand, stepOf } from "../../src/survey/estimation/scatterGrid.js";
import { normalQuantile } from "../../src/survey/likelihood/normal.js";
import type { Equation } from "../../src/survey/model/equations.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { NECK, THOU, along, exact, interval, sheet } from "./bench.js";
import { drawnLogProbability } from "./estimation/bruteForce.js";

const SEED = 20_261_127;

/** An edge that touches at four places, with a gap in the middle and crowns between that nobody read: it cuts into none of them, and that says much. */
const read = sheet([along("centre", [exact("centre", 1, 0), exact("centre", 5, 0), interval("centre", 9, 6 * THOU, 7 * THOU), exact("centre", 13, 0), exact("centre", 16, 0)])]);

function explained(): Explanation {
  const [likeliest] = explanationsOf(NECK, read, usableReadings(NECK, read));
  return likeliest;
}

/** What the equations but one say, at the scatters that suit all best, settled. */
function withoutOne({ layout, equations, grid }: Explanation, left: Equation): Explanation {
  const { scatters } = topPoint({ grid });
  const others = equations.filter((equation) => equation !== left);
  const seen = scatterLook(layout, others, 1)(stepOf(scatters), undefined, 1e-3);
  if (seen === undefined) throw new RangeError("expected a posterior");
  return { layout, equations: others, grid: [{ scatters, weight: 1, logWeight: seen.logDensity, logDensity: seen.logDensity, posterior: seen.posterior }], probability: 1 };
}

describe("the probability of a reading, given the others", () => {
  const whole = explained();

  test.each([1, 9, 16])("at fret %d is that of weighted draws in which the edge still cuts into no crown, whether it is taken out or put in", (fret) => {
    const equation = whole.equations.find(({ from }) => from.kind === "gap" && from.reading.place.fret === fret);
    if (equation === undefined) throw new RangeError(`expected a reading at fret ${fret}`);
    const random = xoroshiro128plus(SEED);
    const rest = withoutOne(whole, equation);
    const [point] = rest.grid;
    if (point === undefined) throw new RangeError("expected a grid point");
    const sites = [...rest.equations.map(readingSite), ...sitesBeforehand(rest.layout, point.scatters)];
    const drawn = drawnLogProbability(point.posterior, sites, readingSite(equation), 20_000, () => normalQuantile(Math.max(uniformFloat64(random), Number.MIN_VALUE)));
    const takenOut = topPoint(whole).posterior.logEvidence - logEvidenceWithout(whole, 1, (one) => one === equation);
    const putIn = logProbabilityOfOneMore(rest, 1, equation);
    console.info(`seed ${SEED}, fret ${fret}: drawn ${drawn.value.toFixed(3)} within ${drawn.error.toFixed(3)} (worth ${drawn.worth.toFixed(0)}), taken out ${takenOut.toFixed(3)}, put in ${putIn?.toFixed(3)}`);
    expect(drawn.worth).toBeGreaterThan(500);
    // what expectation propagation itself is off, of which its own tests allow 0.02 a site
    const within = 3 * drawn.error + 0.1;
    expect(Math.abs(takenOut - drawn.value)).toBeLessThan(within);
    expect(Math.abs((putIn ?? NaN) - drawn.value)).toBeLessThan(within);
  }, 60_000);
});

test("where an edge that touches frets 1 and 7 gapes at fret 16 and another says the neck is hollow, neither end of the first is doubted: without it the edge would cut into the crowns", () => {
  const setting = (...gaps: readonly (readonly [number, number, number])[]): ReturnType<typeof along> => along("centre", gaps.map(([fret, low, high]) => (high === 0 ? exact("centre", fret, 0) : interval("centre", fret, low * THOU, high * THOU))));
  const [first, second] = [setting([1, 0, 0], [7, 0, 0], [16, 16, 17]), { ...setting([1, 0, 0], [7, 9, 10], [16, 0, 0]), label: "second setting of the edge, centre" }];
  const { blunders } = adjust(NECK, sheet([first, second]));
  const doubted = blunders.flatMap((blunder) => [blunder, ...blunder.rivals]).map(({ at, written }) => `${at} ${written}`);
  expect(doubted[0]).toBe("7 touch");
  expect(doubted).not.toContain("16 16.0 thou");
  expect(doubted.filter((one) => one === "1 touch").length).toBeLessThan(2);
});
