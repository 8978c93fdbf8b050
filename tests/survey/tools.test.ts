import { describe, expect, test } from "vitest";
import { adjust, stringCheck, tautStringSagMm, threeEdgeCheck } from "neck-survey";
import type { EdgeSetting, GapReading, Measured, Survey, Tool } from "neck-survey";
import { equationsOf } from "../../src/survey/model/equations.js";
import type { Equation } from "../../src/survey/model/equations.js";
import { layoutOf } from "../../src/survey/model/layout.js";
import type { Zone } from "../../src/survey/model/layout.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { edgeSpread, sagFactor, sagScaleMm } from "../../src/survey/model/sag.js";
import { EDGE, NECK, THOU, along, bowed, exact, gapMm, interval, lineNamed, overChord, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const FRETS = Array.from({ length: 22 }, (_, index) => index + 1);
const [X1, X22] = [place(1).xMm, place(22).xMm];
const MIDDLE = (X1 + X22) / 2;
const centre = lineNamed("centre");
const TRUTH = bowed(0.2);

function tool(kind: Tool["kind"], more: Partial<Tool> = {}): Tool {
  return { name: kind, kind, lengthMm: 450, straightnessToleranceMm: 0.02, ...more };
}

/** An edge on frets 1 and 22 whose own face stands `face` (mm, positive hollow) over straight at x. */
function under(edge: Tool, truth: Truth, face: (xMm: number) => number, uMm = 0.004): EdgeSetting {
  const readings = FRETS.map((fret) => exact("centre", fret, gapMm(truth, centre, [1, 22], fret) + face(place(fret).xMm), uMm));
  return { ...along("centre", readings, edge), label: `first setting of ${edge.name}, centre` };
}

/** Middle of the smooth line over its chord. */
function middle(survey: Survey, line = "centre"): Measured {
  const t = (MIDDLE - X1) / (X22 - X1);
  return survey.linear([{ of: "neckLine", line, xMm: MIDDLE, weight: 1 }, { of: "neckLine", line, xMm: X1, weight: t - 1 }, { of: "neckLine", line, xMm: X22, weight: -t }]);
}

const evenFace = (mm: number, lengthMm: number) => (xMm: number): number => mm * (1 - ((2 * (xMm - MIDDLE)) / lengthMm) ** 2);
const oddFace = (mm: number, lengthMm: number) => (xMm: number): number => {
  const t = (2 * (xMm - MIDDLE)) / lengthMm;
  return 2.598 * mm * t * (t * t - 1);
};

describe("the edge's own error", () => {
  test("turning it end for end separates the odd part only: the reversal formula", () => {
    const face = (xMm: number): number => oddFace(0.015, 450)(xMm) + evenFace(0.01, 450)(xMm);
    const once = under(EDGE, TRUTH, face);
    const turned = { ...under(EDGE, TRUTH, (xMm) => face(2 * MIDDLE - xMm)), turned: true, label: "second setting" };
    const [single, both] = [adjust(NECK, sheet([once])), adjust(NECK, sheet([once, turned]))];
    const sShape = (survey: Survey): Measured => survey.linear([0.25, 0.75].flatMap((t, index) => [
      { of: "neckLine", line: "centre", xMm: X1 + t * (X22 - X1), weight: index === 0 ? 1 : -1 } as const,
      { of: "neckLine", line: "centre", xMm: X1, weight: index === 0 ? -0.75 : 0.25 } as const, { of: "neckLine", line: "centre", xMm: X22, weight: index === 0 ? -0.25 : 0.75 } as const,
    ]));
    expect(sShape(both).u).toBeLessThan(0.6 * sShape(single).u);
    expect(Math.abs(sShape(both).value)).toBeLessThan(2 * sShape(both).u);
    expect(Math.abs(sShape(single).value)).toBeGreaterThan(4 * Math.abs(sShape(both).value));
    // the edge's bow stays in the relief, all of it
    expect(middle(both).u).toBeGreaterThan(edgeSpread(EDGE).evenMm * ((X22 - X1) / 450) ** 2);
    expect(middle(both).u).toBeGreaterThan(0.85 * middle(single).u);
    expect(middle(both).value + 0.2).toBeCloseTo(-0.01 * (1 - (1 - ((X22 - X1) / 450) ** 2)), 2);
  });

  test("a checked bow replaces the tolerance, and is taken out", () => {
    const face = evenFace(-0.012, 450);
    const checked = adjust(NECK, sheet([under(tool("straightedge", { bow: { mm: -0.012, uMm: 0.001 } }), TRUTH, face)]));
    const plain = adjust(NECK, sheet([under(EDGE, TRUTH, face)]));
    expect(Math.abs(middle(checked).value + 0.2)).toBeLessThan(0.004);
    expect(middle(checked).u).toBeLessThan(0.6 * middle(plain).u);
    expect(Math.abs(middle(plain).value + 0.2)).toBeGreaterThan(0.006);
  });

  test("three edges against each other give each bow, and what to write of it", () => {
    const [a, b, c] = [0.004, -0.002, 0.009];
    const found = threeEdgeCheck({ mm: a + b, uMm: 0.003 }, { mm: b + c, uMm: 0.003 }, { mm: a + c, uMm: 0.003 });
    expect([found.a, found.b, found.c].map(({ bow }) => bow.value)).toEqual([a, b, c].map((mm) => expect.closeTo(mm, 12) as number));
    expect(found.a.bow.u).toBeCloseTo((0.003 * Math.sqrt(3)) / 2, 12);
    expect(found.b.written).toBe("crowned 0.00200±0.00260 mm");
    expect(() => threeEdgeCheck({ mm: NaN, uMm: 1 }, { mm: 0, uMm: 1 }, { mm: 0, uMm: 1 })).toThrow("expected a gap and a positive uncertainty in mm, got NaN and 1");
  });

  test("a taut string over the same line separates the bow of the edge", () => {
    const sagMm = tautStringSagMm(700, 0.385, 50);
    const string = tool("tautString", { lengthMm: 700, straightnessToleranceMm: 0.002, sagMm });
    const edge = under(EDGE, TRUTH, evenFace(0.015, 450));
    const both = adjust(NECK, sheet([edge, under(string, TRUTH, evenFace(-sagMm, 700))]));
    expect(Math.abs(middle(both).value + 0.2)).toBeLessThan(0.004);
    expect(middle(both).u).toBeLessThan(0.6 * middle(adjust(NECK, sheet([edge]))).u);
    expect(stringCheck({ mm: 0.015 - sagMm, uMm: 0.003 }, sagMm).bow.value).toBeCloseTo(0.015, 12);
  });

  test("an edge of stated section sags by its own weight, which is taken out; not so beside a neck on its side", () => {
    const long = tool("straightedge", { lengthMm: 900, section: { heightMm: 25, thicknessMm: 5, material: "steel" }, straightnessToleranceMm: 0.001 });
    const span = (X22 - X1) / 900;
    const sag = (xMm: number): number => -sagScaleMm(long) * sagFactor(span, (xMm - MIDDLE) / 900);
    // its ends hang over far enough to lift the middle
    expect(sag(MIDDLE)).toBeGreaterThan(0.001);
    const found = middle(adjust(NECK, sheet([under(long, TRUTH, sag)])));
    expect(found.value).toBeCloseTo(-0.2, 3);
    const standing = { ...sheet([under(long, TRUTH, () => 0)]), state: { support: "on its side" } };
    expect(middle(adjust(NECK, standing)).value).toBeCloseTo(-0.2, 3);
    expect(middle(adjust(NECK, sheet([under(long, TRUTH, () => 0)]))).value).not.toBeCloseTo(-0.2, 3);
  });

  test("the sag of a long edge whose section was not stated stays in its give or take, and is said", () => {
    const assumed = (lengthMm: number): readonly string[] => adjust(NECK, sheet([under(tool("straightedge", { lengthMm }), TRUTH, () => 0)])).assumed.filter((text) => text.startsWith("sag of"));
    expect(assumed(450)).toEqual([]);
    expect(assumed(900)).toEqual(['sag of the edge under its own weight: its section is not stated, so up to about 0.025 mm (1.0 thou) of it stays in the give or take (write "section 40 x 6 mm" after its length)']);
  });
});

describe("an edge on two equal blocks", () => {
  test("gives the same heights as one without, and a gap may be less than its blocks are high", () => {
    const onBlocks = tool("endBlocks", { lengthMm: 600, blockHeightMm: 20 });
    const lifted = under(onBlocks, TRUTH, () => 20);
    const hollow = bowed(-0.3);
    expect(middle(adjust(NECK, sheet([lifted]))).value).toBeCloseTo(-0.2, 2);
    const back = under(onBlocks, hollow, () => 20);
    expect(Math.min(...back.readings.map(({ gap }) => (gap.kind === "exact" ? gap.gapMm : NaN)))).toBeLessThan(20);
    expect(middle(adjust(NECK, sheet([back]))).value).toBeCloseTo(0.3, 2);
  });
});

describe("a free board on the bench plate", () => {
  const plate = tool("benchPlate", { lengthMm: 600, straightnessToleranceMm: 0.005 });
  const backBow = bowed(-0.5);

  test("face up on its glue face, in back bow: it stands on its ends and the gap is in the middle", () => {
    const gap = (fret: number): number => overChord(backBow, "centre", fret);
    const readings = FRETS.map((fret): GapReading => ({ ...exact("centre", fret, gap(fret), 0.004), place: { label: String(fret), xMm: place(fret).xMm } }));
    expect(Math.min(...FRETS.map(gap))).toBeCloseTo(0, 9);
    const survey = adjust(NECK, sheet([{ ...along("centre", readings, plate), surface: "glueFace" }]));
    const [face] = survey.faces;
    expect(face).toMatchObject({ surface: "glueFace", line: "centre", from: { label: "1" }, to: { label: "22" } });
    const middleOf = face?.heights.find(({ at }) => at === "10");
    expect(middleOf?.heightMm).toBeCloseTo(overChord(backBow, "centre", 10), 2);
    expect(survey.heights).toEqual([]);
    const t = (MIDDLE - X1) / (X22 - X1);
    expect(survey.linear([{ of: "glueFace", line: "centre", xMm: MIDDLE, weight: 1 }, { of: "glueFace", line: "centre", xMm: X1, weight: t - 1 }, { of: "glueFace", line: "centre", xMm: X22, weight: -t }]).value).toBeCloseTo(0.5, 1);
  });

  test("face down on its frets, in back bow: it stands on its middle and the gaps are at the ends", () => {
    const most = Math.max(...FRETS.map((fret) => backBow("centre", fret)));
    const readings = FRETS.map((fret) => exact("centre", fret, most - backBow("centre", fret), 0.004));
    const survey = adjust(NECK, sheet([along("centre", readings, plate)]));
    expect(middle(survey).value).toBeCloseTo(0.5, 1);
    expect(survey.heights.map(({ surface }) => surface)).toEqual(FRETS.map(() => "fretTops"));
  });
});

describe("surfaces beside the fret tops", () => {
  test("the underside has a line and a chord of its own and leaves the fret tops alone", () => {
    const readings = [1, 6, 12, 16].map((fret): GapReading => ({ ...exact("centre", fret, fret === 6 || fret === 12 ? 0.1 : 0, 0.004), place: { label: String(fret), xMm: place(fret).xMm } }));
    const tops = sheet([sweep(TRUTH, centre)]);
    const both = adjust(NECK, { ...tops, settings: [...tops.settings, { ...along("centre", readings, tool("notched")), surface: "underside" }] });
    const plain = adjust(NECK, tops);
    expect(both.faces).toMatchObject([{ surface: "underside", from: { label: "1" }, to: { label: "16" } }]);
    // an edge on the back sees the back from behind: a gap under it is a surface nearer the frets
    expect(both.faces[0]?.heights[1]?.heightMm).toBeCloseTo(0.1, 2);
    expect(both.heights.map(({ at }) => at)).toEqual(plain.heights.map(({ at }) => at));
    expect(Math.max(...both.heights.map(({ heightMm }, index) => Math.abs(heightMm - (plain.heights[index]?.heightMm ?? NaN))))).toBeLessThan(0.004);
  });

  test("wood read beside the fret tops is told too, over its own chord", () => {
    const wood = [1.5, 5.5, 9.5, 15.5].map((at): GapReading => {
      const xMm = (place(at - 0.5).xMm + place(at + 0.5).xMm) / 2;
      const t = (xMm - X1) / (X22 - X1);
      return { ...exact("centre", 1, 1.1 + 0.8 * t * (1 - t), 0.004), place: { label: String(at), xMm } };
    });
    const survey = adjust(NECK, sheet([sweep(TRUTH, centre), { ...along("centre", wood, tool("notched")), surface: "wood" }]));
    expect(survey.faces).toMatchObject([{ surface: "wood", line: "centre", from: { label: "1.5" }, to: { label: "15.5" } }]);
    expect(survey.heights.every(({ surface }) => surface === "fretTops")).toBe(true);
  });
});

describe("a dial bar", () => {
  const dial = tool("dialBar", { lengthMm: 100, straightnessToleranceMm: 0.002 });
  const feetOf = (fret: number): readonly [number, number] => {
    const nearest = (xMm: number): number => Array.from({ length: 22 }, (_, index) => index + 1).reduce((best, one) => (Math.abs(place(one).xMm - xMm) < Math.abs(place(best).xMm - xMm) ? one : best));
    return [nearest(place(fret).xMm - 50), nearest(place(fret).xMm + 50)];
  };
  const read = (fret: number): GapReading => exact("centre", fret, -gapMm(TRUTH, centre, feetOf(fret), fret), 0.002);

  const dialled = (fret: number): number => {
    const t = (place(fret).xMm - place(3).xMm) / (place(14).xMm - place(3).xMm);
    return TRUTH("centre", fret) - (1 - t) * TRUTH("centre", 3) - t * TRUTH("centre", 14);
  };

  test("reads the middle over its feet, minus where it is low, and sharpens the line there", () => {
    expect(read(12).gap).toMatchObject({ gapMm: expect.any(Number) as number });
    const edge = under(EDGE, TRUTH, () => 0, 0.02);
    const dials = along("centre", [4, 6, 8, 10, 12, 14].map(read), dial);
    const [plain, more] = [adjust(NECK, sheet([edge])), adjust(NECK, sheet([edge, dials]))];
    expect(more.notes).toEqual([]);
    expect(more.blunders).toEqual([]);
    expect(Math.abs(middle(more).value + 0.2)).toBeLessThan(2 * middle(more).u);
    expect(middle(more).u).toBeLessThan(middle(plain).u);
  });

  test("alone determines the places that its feet and middles link, and no others", () => {
    const linked = adjust(NECK, sheet([along("centre", [5, 6, 7, 8, 9, 10, 11, 12].map(read), dial)]));
    expect(linked.datum).toMatchObject([{ line: "centre", from: { label: "3" }, to: { label: "14" } }]);
    expect(linked.heights.length).toBeGreaterThan(4);
    for (const { place: { fret = NaN }, heightMm } of linked.heights) expect(Math.abs(heightMm - dialled(fret))).toBeLessThan(0.02);
    const lone = adjust(NECK, sheet([along("centre", [5, 10].map(read), dial)]));
    expect(lone.datum).toMatchObject([{ from: { label: "3" }, to: { label: "7" } }]);
    expect(lone.heights).toHaveLength(3);
  });

  test("beside an edge does not take the chord over", () => {
    const edge = along("centre", [1, 7, 16].map((fret) => exact("centre", fret, gapMm(TRUTH, centre, [1, 16], fret))));
    const survey = adjust(NECK, sheet([edge, along("centre", [8, 12].map(read), dial)]));
    expect(survey.datum).toMatchObject([{ from: { label: "1" }, to: { label: "16" } }]);
  });

  test("whose feet would stand beyond the frets is named, not used", () => {
    expect(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0.01)], dial)])).notes[0]).toContain("its feet, 100 mm apart, would stand beyond the frets");
  });
});

describe("under the crowns", () => {
  const zone: Truth = (line, fret) => TRUTH(line, fret) + (fret >= 9 && fret <= 13 ? 0.1 : 0);
  const leaf = tool("straightedge");
  const looked = (read: (fret: number) => GapReading): EdgeSetting => ({ ...along("centre", [9, 10, 11, 12, 13].map(read), leaf), surface: "underCrown", label: "first look under the crowns, centre" });

  test("a gap tells frets that are not seated from a raised board; no gap tells the other", () => {
    const edge = sweep(zone, centre);
    const blind = adjust(NECK, sheet([edge])).zones[0];
    expect(blind?.probability).toBeGreaterThan(0.5);
    const open = adjust(NECK, sheet([edge, looked((fret) => interval("centre", fret, 3 * THOU, 4 * THOU))])).zones[0];
    const shut = adjust(NECK, sheet([edge, looked((fret) => interval("centre", fret, 0, 1.5 * THOU))])).zones[0];
    expect((open?.probabilityFrets ?? 0) / (open?.probability ?? NaN)).toBeGreaterThan(0.9);
    expect((shut?.probabilityBoard ?? 0) / (shut?.probability ?? NaN)).toBeGreaterThan(0.9);
  });

  test("no gap counts as a reading whether or not a zone is supposed, so that both suppositions are held against the same readings", () => {
    const usable = usableReadings(NECK, sheet([sweep(zone, centre), looked((fret) => interval("centre", fret, 0, 1.5 * THOU))]));
    const of = (supposed?: Zone): readonly Equation["from"][] => equationsOf(NECK, usable, layoutOf(usable, supposed), 0.005).map(({ from }) => from);
    expect(of()).toHaveLength(usable.settings.reduce((sum, { readings }) => sum + readings.length, 0));
    expect(of({ from: 8, to: 12, of: "frets" })).toEqual(of());
    expect(of({ from: 8, to: 12, of: "board" })).toEqual(of());
  });

  test("no gap says nothing of how low a fret stands", () => {
    const low: Truth = (line, fret) => TRUTH(line, fret) - (fret === 10 ? 0.06 : 0);
    const survey = adjust(NECK, sheet([sweep(low, centre), looked((fret) => exact("centre", fret, 0))]));
    expect(survey.blunders).toEqual([]);
    const deviation = survey.linear([{ of: "fretTop", line: "centre", fret: 10, weight: 1 }, { of: "neckLine", line: "centre", xMm: place(10).xMm, weight: -1 }]);
    expect(deviation.value).toBeLessThan(-0.03);
  });

  test("a crown gauge gives the height of the wire where it stood", () => {
    const high: Truth = (line, fret) => TRUTH(line, fret) + (fret === 10 ? 0.08 : 0);
    const gauge = along("centre", [9, 10, 11].map((fret) => exact("centre", fret, 1.1 + (fret === 10 ? 0.08 : 0), 0.01)), tool("crownGauge", { lengthMm: 30 }));
    const survey = adjust(NECK, sheet([sweep(high, centre), gauge]));
    expect(survey.crowns.map(({ fret }) => fret)).toEqual([9, 10, 11]);
    expect(survey.crowns[1]?.height.value).toBeCloseTo(1.18, 1);
    expect(survey.crowns[0]?.height.value).toBeCloseTo(1.1, 1);
    expect(survey.crowns[0]?.height.u).toBeLessThan(0.02);
    expect(survey.heights).toHaveLength(22);
  });
});
