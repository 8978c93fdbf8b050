import fc from "fast-check";
import { edgeSpread } from "../../src/survey/model/sag.js";
import { describe, expect, test } from "vitest";
import { adjust } from "neck-survey";
import type { EdgeSetting, Measured, RockerReading, Survey } from "neck-survey";
import { EDGE, NECK, ROCKER, THOU, along, bowed, exact, gapMm, interval, leafInterval, lineNamed, overChord, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const SEED = 20261124;

function height(survey: Survey, line: string, at: string): { heightMm: number; uMm: number } {
  const found = survey.heights.find((candidate) => candidate.line === line && candidate.at === at);
  if (found === undefined) throw new RangeError(`no height at ${line} ${at}`);
  return found;
}

describe("adjust: three readings", () => {
  const survey = adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 16, 0)])]));

  test("give the height of the read place under the chord of the two contacts", () => {
    expect(survey.datum).toMatchObject([{ line: "centre", from: { label: "1" }, to: { label: "16" } }]);
    const { heightMm, uMm } = height(survey, "centre", "8");
    expect(heightMm).toBeCloseTo(-8.5 * THOU, 2);
    expect(uMm).toBeGreaterThan(THOU / Math.sqrt(12));
    expect(uMm).toBeLessThan(0.02);
  });

  test("leave nothing out that was assumed or that nothing controls", () => {
    expect(survey.assumed).toEqual(expect.arrayContaining([...NECK.assumed]));
    expect(survey.uncontrolled.map(({ at }) => at)).toEqual(["1", "8", "16"]);
    expect(survey.blunders).toEqual([]);
    expect(survey.spreads.seating.basis).toBe("prior-dominated");
  });

  test("take the radius out: an outer line of a perfect radiused board is not bowed", () => {
    const perfect: Truth = () => 0;
    const bass = lineNamed("bass");
    const gaps = [1, 8, 16].map((fret) => gapMm(perfect, bass, [1, 16], fret));
    expect(gaps[1]).toBeLessThan(-0.004); // the board stands over the edge's chord: an apparent back bow
    const flat = adjust(NECK, sheet([along("bass", [1, 8, 16].map((fret, index) => exact("bass", fret, gaps[index] ?? NaN)))]));
    expect(Math.abs(height(flat, "bass", "8").heightMm)).toBeLessThan(0.001);
  });
});

describe("adjust: a full sweep", () => {
  const truth: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret === 7 ? 0.08 : 0) + (line === "treble" && fret === 14 ? 0.07 : 0);
  const survey = adjust(NECK, sheet(NECK.lines.map((line) => sweep(truth, line))));

  test("heights are right within their uncertainty, on every line", () => {
    const apart = survey.heights.filter(({ uMm }) => uMm > 0).map((found) => Math.abs(found.heightMm - overChord(truth, found.line, found.place.fret ?? NaN)) / found.uMm);
    expect(apart).toHaveLength(60);
    expect(Math.max(...apart)).toBeLessThan(3);
  });

  test("a high fret neither bends the line nor hides its neighbour", () => {
    const high = (line: string, fret: number): number =>
      survey.linear([{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: place(fret).xMm, weight: -1 }]).value;
    expect(high("centre", 7)).toBeGreaterThan(0.065);
    expect(high("centre", 7)).toBeLessThan(0.095);
    for (const fret of [6, 8]) expect(Math.abs(high("centre", fret))).toBeLessThan(0.012);
    expect(high("treble", 14)).toBeGreaterThan(0.05);
    expect(Math.abs(high("bass", 14))).toBeLessThan(0.02);
  });

  test("draws agree with the linear answer", () => {
    const terms = [{ of: "neckLine", line: "bass", xMm: 250, weight: 1 }, { of: "neckLine", line: "bass", xMm: 100, weight: -0.5 }, { of: "neckLine", line: "bass", xMm: 400, weight: -0.5 }] as const;
    const wanted = survey.linear(terms);
    const draws = survey.draws([terms], 4000, SEED).map((draw) => draw[0] ?? NaN);
    const mean = draws.reduce((sum, value) => sum + value, 0) / draws.length;
    const sd = Math.sqrt(draws.reduce((sum, value) => sum + (value - mean) ** 2, 0) / draws.length);
    expect(Math.abs(mean - wanted.value)).toBeLessThan(4 * wanted.u / Math.sqrt(2000));
    expect(sd / wanted.u).toBeGreaterThan(0.95);
    expect(sd / wanted.u).toBeLessThan(1.05);
    expect(survey.draws([terms], 10, 3)).toEqual(survey.draws([terms], 10, 3));
  });

  test("a reading 0.3 mm off is named, where it was typed, with what was expected", () => {
    const wrong = NECK.lines.map((line) => sweep(truth, line));
    const slipped = wrong.map((setting) => (setting.path.kind === "along" && setting.path.line === "centre"
      ? { ...setting, readings: setting.readings.map((reading) => (reading.place.fret === 11 ? interval("centre", 11, 22 * THOU, 23 * THOU) : reading)) } : setting));
    const [blunder] = adjust(NECK, sheet(slipped)).blunders;
    expect(blunder).toMatchObject({ line: "centre", at: "11", source: "test sheet", row: 11, written: "22.0 thou" });
    expect(blunder?.expectedMm).toBeCloseTo(gapMm(truth, lineNamed("centre"), [1, 22], 11), 1);
    expect(blunder?.sentence).toContain("The gap at fret 11, centre, was read as \"22.0 thou\", but all else read expects about");
    expect(blunder?.sentence).toContain("It is set aside: the numbers here are without it.");
    expect(blunder?.rivals).toEqual([]);
    expect(adjust(NECK, sheet(wrong)).blunders).toEqual([]);
  });

  test("where two settings contradict each other and nothing tells which is right, all that may be the slip are named", () => {
    const setting = (gap: readonly [number, number], label: string): EdgeSetting => ({ ...along("centre", [exact("centre", 1, 0), interval("centre", 11, ...gap), exact("centre", 22, 0)]), label });
    const [blunder] = adjust(NECK, sheet([setting([2 * THOU, 2.5 * THOU], "first"), setting([29 * THOU, 30 * THOU], "second")])).blunders;
    const named = [blunder, ...(blunder?.rivals ?? [])].map((one) => `${one?.at} ${one?.written}`);
    expect(named).toEqual(expect.arrayContaining(["11 2.0 thou", "11 29.0 thou"]));
    expect(blunder?.sentence).toMatch(/ It may also be the gap at fret \d+, centre \(".*", row \d+\).* or .*: read those again too\.$/);
    expect(blunder?.sentence, "an edge below what it is laid on is no gap of 0").not.toContain("expects about 0.00 mm");
  });
});

describe("adjust: rocker", () => {
  const edge = along("centre", [exact("centre", 1, 0), interval("centre", 8, 6 * THOU, 7 * THOU), exact("centre", 16, 0)]);
  const [low, high] = [-1.5 * THOU, 0.75 * THOU];
  /** Fret 8 over the chord of its neighbours, after the rocker stood there, or did not. */
  const middleOver = (deltaMm?: RockerReading["deltaMm"]): Measured => {
    const rocked = deltaMm === undefined ? [] : [{ line: "centre", frets: [7, 8, 9] as const, deltaMm, endsUMm: 0.0023, tool: ROCKER, written: "0, 0, 0", origin: { source: "t", row: 1, column: "c" } }];
    const share = (place(8).xMm - place(7).xMm) / (place(9).xMm - place(7).xMm);
    return adjust(NECK, sheet([edge], rocked)).linear([{ of: "fretTop", line: "centre", fret: 8, weight: 1 }, { of: "fretTop", line: "centre", fret: 7, weight: share - 1 }, { of: "fretTop", line: "centre", fret: 9, weight: -share }]);
  };
  const without = middleOver();
  const still = middleOver({ low, high });
  /** What the rocker's bounds are good for: feel, leaves and two contacts. */
  const within = 2 * Math.hypot(0.005, 0.0023, 0.003);

  test("three gaps of 0 under the rocker limit the middle fret both ways", () => {
    expect(without.low95).toBeLessThan(low - within);
    expect(without.high95).toBeGreaterThan(high + within);
    expect(still.low95).toBeGreaterThan(low - within);
    expect(still.high95).toBeLessThan(high + within);
    // a fret somewhere between the bounds, spread as a rectangle at most (GUM 4.3.7)
    expect(still.u).toBeLessThan(Math.hypot((high - low) / Math.sqrt(12), within / 2));
  });

  test("a rocker that limits the middle fret one way leaves it open the other way", () => {
    const [notHigh, notLow] = [middleOver({ low: -Infinity, high }), middleOver({ low, high: Infinity })];
    expect(notHigh.high95).toBeLessThan(high + within);
    expect(notHigh.low95).toBeLessThan(low - within);
    expect(notLow.low95).toBeGreaterThan(low - within);
    expect(notLow.high95).toBeGreaterThan(high + within);
  });
});

describe("adjust: what the readings cannot determine", () => {
  test("two readings in a setting say nothing of the shape, and the answer says what to read", () => {
    const survey = adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), exact("centre", 16, 0)]), along("bass", [exact("bass", 3, 0)])]));
    expect(survey.heights).toEqual([]);
    expect(survey.undetermined.map(({ line }) => line)).toEqual(["bass", "centre"]);
    expect(survey.undetermined[1]?.need).toBe('lay the edge along the centre line on frets 1 and 16, write "touch" at both, and read one gap about midway, near fret 7; if it rocks on a high middle, let it balance there, write "touch" where it rests, and read the gaps at frets 1 and 16 while it lies so');
  });

  test("a balanced edge whose end gaps are wider than any leaf says so first, and not only to do again what was done", () => {
    const survey = adjust(NECK, sheet([along("centre", [interval("centre", 1, 40 * THOU, Infinity), exact("centre", 8, 0), interval("centre", 16, 40 * THOU, Infinity)])]));
    expect(survey.undetermined[0]?.need).toMatch(/^the gaps at fret 1 \(.*\) and fret 16 \(.*\) may be any wider, since no leaf is known that does not go: stack leaves until one does not go and write the stack, .*; else lay the edge along the centre line/);
  });

  test("an empty sheet is undetermined on every line of the neck, and asking it for a number is refused", () => {
    const survey = adjust(NECK, sheet([]));
    expect(survey.undetermined.map(({ line }) => line)).toEqual(["bass", "centre", "treble"]);
    expect(() => survey.linear([])).toThrow("Cannot give heights: these readings determine none");
  });

  test("an unbounded gap asks for a thicker stack; a loose second setting for a shared place", () => {
    const open = along("centre", [exact("centre", 1, 0), interval("centre", 5, 5 * THOU, 6 * THOU), interval("centre", 8, 7 * THOU, Infinity), exact("centre", 16, 0)]);
    expect(adjust(NECK, sheet([open])).undetermined).toMatchObject([{ line: "centre", at: "8" }]);
    expect(adjust(NECK, sheet([open])).undetermined[0]?.need).toMatch(/^at fret 8, centre: stack leaves until one does not go/);
    const tied = along("centre", [exact("centre", 1, 0), exact("centre", 4, 0.1), exact("centre", 8, 0.1), exact("centre", 12, 0)]);
    const loose = along("centre", [exact("centre", 13, 0), exact("centre", 17, 0.05), exact("centre", 22, 0)]);
    const two = adjust(NECK, sheet([tied, loose]));
    expect(two.datum).toMatchObject([{ from: { label: "1" }, to: { label: "12" } }]);
    expect(two.undetermined.map(({ at }) => at)).toEqual(["13", "17", "22"]);
  });

  test("readings of another neck are refused", () => {
    expect(() => adjust(NECK, { ...sheet([]), neck: "another" })).toThrow('Cannot adjust the readings of neck "another" on neck "test neck"');
  });

  test("a tool that cannot say anything as it was set down is named, not dropped", () => {
    const gauge = { ...along("centre", [exact("centre", 5, 0)]), tool: { ...EDGE, name: "radiusGauge", kind: "radiusGauge" } as const, label: "radius gauge" };
    expect(adjust(NECK, sheet([gauge])).notes[0]).toBe("radius gauge (1 reading) is kept but not used: a radius gauge stands across the neck: write across as its path");
  });
});

describe("adjust: invariances", () => {
  const frets = Array.from({ length: 16 }, (_, index) => index + 1);
  const truth = bowed(0.2, 16);
  const centre = lineNamed("centre");
  const readings = frets.map((fret) => exact("centre", fret, gapMm(truth, centre, [1, 16], fret), 0.006));
  const plain = adjust(NECK, sheet([along("centre", readings)]));

  test("heights ignore how the edge was tilted and raised", () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 3, noNaN: true }), fc.double({ min: -0.004, max: 0.004, noNaN: true }), (raised, tilt) => {
      const moved = readings.map((reading) => exact("centre", reading.place.fret ?? NaN, (reading.gap.kind === "exact" ? reading.gap.gapMm : NaN) + raised + 1.5 + tilt * reading.place.xMm, 0.006));
      const survey = adjust(NECK, sheet([along("centre", moved)]));
      for (const { at, heightMm, uMm } of plain.heights) {
        expect(Math.abs(height(survey, "centre", at).heightMm - heightMm)).toBeLessThan(1e-4 * Math.max(uMm, 1e-3));
      }
    }), { seed: SEED, numRuns: 10 });
  });

  test("heights ignore the order of readings and of settings", () => {
    const lines = NECK.lines.map((line) => along(line.name, frets.map((fret) => interval(line.name, fret, ...leafInterval(gapMm(truth, line, [1, 16], fret) + 0.001)))));
    const forward = adjust(NECK, sheet(lines));
    const backward = adjust(NECK, sheet([...lines].reverse().map((setting) => ({ ...setting, readings: [...setting.readings].reverse() }))));
    for (const found of forward.heights) {
      const other = height(backward, found.line, found.at);
      expect(Math.abs(other.heightMm - found.heightMm)).toBeLessThan(5e-5);
      expect(Math.abs(other.uMm - found.uMm)).toBeLessThan(5e-5);
    }
  });

  test("an edge that may be bowed widens the relief by its bow over the span read", () => {
    const asked = [{ of: "neckLine", line: "centre", xMm: place(1).xMm, weight: 0.5 }, { of: "neckLine", line: "centre", xMm: place(16).xMm, weight: 0.5 }, { of: "neckLine", line: "centre", xMm: (place(1).xMm + place(16).xMm) / 2, weight: -1 }] as const;
    const without = adjust(NECK, sheet([along("centre", readings, { ...EDGE, straightnessToleranceMm: 0 })])).linear(asked);
    const share = ((place(16).xMm - place(1).xMm) / EDGE.lengthMm) ** 2;
    const edge = share * edgeSpread(EDGE).evenMm;
    const expected = Math.hypot(without.u, edge);
    expect(Math.abs(plain.linear(asked).u / expected - 1)).toBeLessThan(0.03);
  });
});
