import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { adjust, adjustTogether, compareSurveys, readNeck, twistTerms, valueOrThrow } from "neck-survey";
import type { EdgeSetting, GapReading, HeightTerm, Neck, Survey } from "neck-survey";
import { scatterLook } from "../../src/survey/estimation/scatterGrid.js";
import { rowVariance } from "../../src/survey/linear/arrow.js";
import { equationsOf } from "../../src/survey/model/equations.js";
import { layoutOf } from "../../src/survey/model/layout.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { termsForm } from "../../src/survey/terms.js";
import { EDGE, NECK, along, bowed, exact, lineNamed, place, sheet, sweep } from "./bench.js";
import { bars, board, across, diagonal, lengthwise } from "./board.js";

const SEED = 20261127;
const [X1, X22] = [place(1).xMm, place(22).xMm];

function onWood(line: string, xMm: number, gapMm: number): GapReading {
  return { ...exact(line, 1, gapMm, 0.004), place: { label: `@${xMm.toFixed(3)}mm`, xMm } };
}

function woodEdge(readings: readonly GapReading[]): EdgeSetting {
  return { ...along("centre", readings, { ...EDGE, name: "notched", kind: "notched" }), surface: "wood" };
}

describe("turning the neck end for end", () => {
  test("turns its heights with it", () => {
    // without a body joint: the line may have a corner and a tongue there
    const { bodyJoint: _, ...free } = NECK;
    const xs = [40, 90, 130, 200, 260, 330, 410, 440];
    fc.assert(fc.property(fc.array(fc.double({ min: 0.2, max: 0.5, noNaN: true }), { minLength: xs.length, maxLength: xs.length }), (gaps) => {
      const heights = (readings: readonly GapReading[]): readonly number[] => adjust(free, sheet([woodEdge(readings)])).heights.map(({ heightMm }) => heightMm);
      const smooth = gaps.map((gap, index) => 0.4 + 0.03 * (gap - 0.35) + 0.2 * Math.sin(index / 3));
      const there = heights(xs.map((x, index) => onWood("centre", x, smooth[index] ?? NaN)));
      const back = heights(xs.map((x, index) => onWood("centre", 480 - x, smooth[index] ?? NaN)));
      expect(there).toHaveLength(xs.length);
      expect(back.toReversed()).toEqual(there.map((mm) => expect.closeTo(mm, 3) as number));
    }), { seed: SEED, numRuns: 3 });
  });
});

describe("a further reading", () => {
  const heights = board({ bowMm: 0.1, twistMm: 0.1 });
  const start = [...NECK.lines.map(({ name }) => onlyWood(lengthwise(heights, name, { uMm: 0.01 }))), onlyWood(diagonal(heights, "bass", "treble", { uMm: 0.01 }))];
  const asked: readonly (readonly HeightTerm[])[] = [
    twistTerms(NECK, X1, X22),
    [{ of: "neckLine", line: "bass", xMm: 200, weight: 1 }, { of: "neckLine", line: "bass", xMm: X1, weight: (200 - X22) / (X22 - X1) }, { of: "neckLine", line: "bass", xMm: X22, weight: (X1 - 200) / (X22 - X1) }],
  ];

  /** The same readings as if taken on the wood, where nothing but normal distributions is at work. */
  function onlyWood(setting: EdgeSetting): EdgeSetting {
    const end = (at: GapReading["place"]): GapReading["place"] => ({ label: at.label, xMm: at.xMm });
    const path = setting.path.kind === "diagonal" ? { ...setting.path, from: { ...setting.path.from, at: end(setting.path.from.at) }, to: { ...setting.path.to, at: end(setting.path.to.at) } } : setting.path;
    return { ...setting, surface: "wood", path, readings: setting.readings.map((reading) => ({ ...reading, place: end(reading.place) })) };
  }

  function variances(settings: readonly EdgeSetting[]): readonly number[] {
    const read = sheet(settings);
    const usable = usableReadings(NECK, read);
    const layout = layoutOf(usable);
    const posterior = scatterLook(layout, equationsOf(NECK, usable, layout, read.feelMm), usable.settings.length)([0, 0], undefined, 1e-6)?.posterior;
    if (posterior === undefined) throw new RangeError("no posterior");
    return asked.map((terms) => rowVariance(posterior.factor, termsForm(terms)(layout)));
  }

  test("that is normal never raises a variance, whatever it is, the scatters being fixed", () => {
    const before = variances(start);
    const more = fc.constantFrom<EdgeSetting>(
      diagonal(heights, "treble", "bass", { uMm: 0.01 }), bars(heights, 0.1), across(heights, 8, 0.01), lengthwise(heights, "centre", { uMm: 0.05 }),
      lengthwise(heights, "treble", { uMm: 0.002 }, { ...EDGE, name: "another", lengthMm: 600 }));
    fc.assert(fc.property(more, (setting) => {
      const after = variances([...start, onlyWood(setting)]);
      for (const [index, variance] of after.entries()) expect(variance).toBeLessThan((before[index] ?? NaN) * (1 + 1e-6));
    }), { seed: SEED, numRuns: 8 });
  });

  test("by sighting bars is what is asked for where twist is open", () => {
    const next = adjust(NECK, sheet(NECK.lines.map(({ name }) => lengthwise(heights, name, { uMm: 0.01 })))).nextReading(twistTerms(NECK, X1, X22));
    expect(next).toMatchObject({ status: "worthwhile", tool: "sightingBars", line: "treble", at: { label: "22" }, uNowMm: Infinity });
    expect(next.status === "worthwhile" ? next.uThenMm : NaN).toBeLessThan(0.05);
  });

  test("is refused, as linear refuses it, for what no reading across would fix either: level or tilt of a line, or of all lines together", () => {
    const survey = adjust(NECK, sheet(NECK.lines.map(({ name }) => lengthwise(heights, name, { uMm: 0.01 }))));
    const unanswerable: readonly (readonly HeightTerm[])[] = [
      [{ of: "fretTop", line: "centre", fret: 5, weight: 1 }],
      [{ of: "fretTop", line: "centre", fret: 5, weight: 1 }, { of: "fretTop", line: "centre", fret: 12, weight: -1 }],
      NECK.lines.map(({ name }) => ({ of: "fretTop", line: name, fret: 5, weight: 1 / 3 })),
    ];
    for (const terms of unanswerable) {
      expect(() => survey.linear(terms)).toThrow("do not fix level and tilt of the lines");
      for (const how of ["estimated", "tried"] as const) expect(() => survey.nextReading(terms, how)).toThrow("do not fix level and tilt of the lines");
    }
  });
});

describe("a neck sawn into two lines", () => {
  const describeNeck = (lines: Record<string, { share: number }>): Neck => valueOrThrow(readNeck({ name: "test neck", scaleLength: "25 in", frets: 22, fingerboardRadius: "12 in", widths: { nut: 43, lastFret: 56 }, lines }), "neck");

  test("where there was one leaves each with the heights of the one", () => {
    const one = describeNeck({ whole: { share: 0.5 } });
    const two = describeNeck({ left: { share: 0.5 }, right: { share: 0.5 } });
    const readOn = (line: string): EdgeSetting => ({ ...sweep(bowed(0.2), lineNamed("centre")), path: { kind: "along", line }, readings: sweep(bowed(0.2), lineNamed("centre")).readings.map((reading) => ({ ...reading, line })) });
    const whole = adjust(one, sheet([readOn("whole")]));
    const halves = adjust(two, sheet([readOn("left"), readOn("right")]));
    const of = (survey: Survey, line: string): readonly number[] => survey.heights.filter((height) => height.line === line).map(({ heightMm }) => heightMm);
    for (const line of ["left", "right"]) expect(Math.max(...of(halves, line).map((mm, index) => Math.abs(mm - (of(whole, "whole")[index] ?? NaN))))).toBeLessThan(0.006);
  });
});

describe("surveys adjusted together", () => {
  test("may be compared: what moved is told as moved, what did not has settled", () => {
    const centre = lineNamed("centre");
    const [first, same, moved] = [bowed(0.2), bowed(0.2), bowed(0.05)].map((truth) => sheet([sweep(truth, centre)]));
    if (first === undefined || same === undefined || moved === undefined) throw new RangeError("three surveys");
    expect(compareSurveys(adjustTogether(NECK, [first, same])).status).toBe("settled");
    const found = compareSurveys(adjustTogether(NECK, [first, moved]));
    expect(found.status).toBe("moved");
    expect(found.status === "moved" ? found.bow.value : NaN).toBeCloseTo(-0.15, 1);
  });
});
