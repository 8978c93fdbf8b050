import { describe, expect, test } from "vitest";
import { adjust, allReliefs, fretDistanceMm, jointHumps, kinks, lineStraightness, neckShape, RELIEF_DEFINITIONS, tongues, zeroFrets } from "neck-survey";
import type { Neck, Relief } from "neck-survey";
import { NECK, along, exact, sheet } from "../survey/bench.js";
import { knownSurvey, readSurvey } from "./known.js";

const JOINT = fretDistanceMm(NECK.scaleLengthMm, 16);
const FIRST = fretDistanceMm(NECK.scaleLengthMm, 1);
const LAST = fretDistanceMm(NECK.scaleLengthMm, 22);

/** Forward bow of 1 between fret 1 and the joint, as a parabola carried on. */
const bow = (xMm: number): number => -4 * ((xMm - FIRST) / (JOINT - FIRST)) * (1 - (xMm - FIRST) / (JOINT - FIRST));
const corner = (atMm: number, upMm: number) => (xMm: number): number => (-upMm * Math.abs(xMm - atMm)) / 100;

function determined<T extends { readonly status: string }>(found: readonly T[]): Exclude<T, { readonly status: "undetermined" }> {
  const [first] = found;
  if (first === undefined || first.status === "undetermined") throw new RangeError("expected a determined answer");
  return first as Exclude<T, { readonly status: "undetermined" }>;
}

function four(reliefs: readonly Relief[]): readonly number[] {
  expect(reliefs.map(({ definition }) => definition)).toEqual(RELIEF_DEFINITIONS);
  return reliefs.map((relief) => (relief.status === "determined" ? relief.relief.value : NaN));
}

describe("the four reliefs", () => {
  test("of a neck in forward bow without high frets agree but for where the fret nearest mid-way stands", () => {
    const [line = NaN, extreme = NaN, middle = NaN, gap = NaN] = four(allReliefs(knownSurvey({ lineMm: (x) => 0.2 * bow(x) })));
    expect(line).toBeCloseTo(0.2, 3);
    expect(middle).toBeCloseTo(extreme, 12);
    expect(gap).toBeCloseTo(extreme, 12);
    expect(extreme).toBeGreaterThan(0.197);
  });

  test("of a back bow are negative, and a straight edge at rest sees nothing of it", () => {
    const [line, extreme, middle, gap = NaN] = four(allReliefs(knownSurvey({ lineMm: (x) => -0.2 * bow(x) })));
    for (const value of [line, extreme, middle]) expect(value).toBeLessThan(-0.19);
    expect(gap).toBeGreaterThanOrEqual(0);
    expect(gap).toBeLessThan(0.01);
  });

  test("a high fret moves the fret tops' reliefs and not the neck line's", () => {
    const [line, extreme, middle, gap = NaN] = four(allReliefs(knownSurvey({ lineMm: () => 0, highMm: (fret) => (fret === 3 ? 0.1 : 0) })));
    expect(line).toBe(0);
    expect(extreme).toBeCloseTo(-0.1, 12);
    expect(middle).toBeCloseTo(0, 12);
    expect(gap).toBeGreaterThan(0.05);
  });

  test("are said in words, both units, word and bracket", () => {
    const said = allReliefs(readSurvey({ lineMm: (x) => 0.25 * bow(x) })).map((relief) => relief.describe("mm first"));
    expect(said[0]).toMatch(/^Centre line, frets 1 to 16: forward bow \(middle low\), 0\.\d\d mm, give or take 0\.\d\d \(.* thou.*\), most at fret \d+\.$/);
    expect(said[1]).toMatch(/^Centre line, frets 1 to 16: fret tops against the chord of the end frets: forward bow \(middle low\), /);
    expect(said[2]).toMatch(/^Centre line, frets 1 to 16: fret 7 under a string held down at frets 1 and 16: forward bow \(middle low\), /);
    expect(said[3]).toMatch(/^Centre line, frets 1 to 16: under a straight edge resting on the fret tops the largest gap is .*, at fret \d+\. A back bow does not show this way\.$/);
  });
});

describe("joint hump", () => {
  test("an even bow carried on past the joint is no hump, either way", () => {
    for (const relief of [-0.3, 0.3]) expect(determined(jointHumps(knownSurvey({ lineMm: (x) => relief * bow(x) }))).up.value).toBeCloseTo(0, 10);
  });

  test("a corner at the joint is told by the height it has over the line laid across it", () => {
    const known = determined(jointHumps(knownSurvey({ lineMm: corner(JOINT, 0.08) })));
    expect([known.status, known.at.fret, known.afterMm]).toEqual(["hump", 16, 50]);
    expect(known.up.value).toBeCloseTo(0.04, 10);
    const read = determined(jointHumps(readSurvey({ lineMm: corner(JOINT, 0.1) })));
    expect(read.status).toBe("hump");
    // one neck of many: a 95 % interval may miss; the smooth line rounds a sharp corner, so it is told a little low
    expect(Math.abs(read.up.value - 0.05)).toBeLessThan(3 * read.up.u);
    expect(read.describe()).toContain("a joint hump, 0.");
  });

  test("a hump elsewhere is no joint hump, and a dip is called a dip", () => {
    expect(determined(jointHumps(knownSurvey({ lineMm: corner(200, 0.1) }))).up.value).toBeLessThan(0.001);
    const dip = determined(jointHumps(readSurvey({ lineMm: corner(JOINT, -0.2) })));
    expect(dip.status).toBe("dip");
    expect(dip.describe()).toMatch(/: a dip, 0\.\d\d mm, /);
  });

  test("without readings past the joint, or without a joint, the missing thing is named", () => {
    const short = adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), exact("centre", 8, 0.2), exact("centre", 16, 0)])]));
    const [hump] = jointHumps(short);
    expect(hump?.status === "undetermined" && hump.need).toBe("read gaps on the centre line from before fret 16 to fret 22 under one edge that lies across the body joint");
    const { bodyJoint: _joint, ...jointless } = NECK;
    const [unknown] = jointHumps(knownSurvey({ lineMm: () => 0 }, jointless));
    expect(unknown?.describe()).toBe("Centre line, body joint: not determined by these readings. To fix it: say in the neck file at which fret the neck meets the body (bodyJoint).");
  });
});

describe("joint hump between few readings", () => {
  const read = (frets: readonly number[]): ReturnType<typeof jointHumps>[number] | undefined => jointHumps(adjust(NECK, sheet([along("centre", frets.map((fret) => exact("centre", fret, fret === 1 || fret === 16 ? 0 : 0.1)))])))[0];

  test("is not told to be none where readings about the joint are too far apart: which to add is said, and with those it is told", () => {
    expect(read([1, 4, 8, 12, 16, 22])?.describe()).toBe("Centre line, body joint: not determined by these readings. To fix it: read gaps at frets 14 and 19 on the centre line too, under the edge that read the others: a hump hides where neighbouring readings are more than 50 mm (2.0 in) apart.");
    expect(read([1, 4, 8, 12, 14, 16, 22])?.status).toBe("undetermined");
    expect(read([1, 4, 8, 12, 14, 16, 19, 22])?.status).not.toBe("undetermined");
  });

  test("readings far from the joint may be as far apart as they are", () => {
    expect(read([1, 12, 14, 16, 19, 22])?.status).not.toBe("undetermined");
  });
});

describe("tongue and zero fret", () => {
  test("fall-away is counted from the straight line of the neck carried on", () => {
    const falling = { lineMm: (x: number): number => -0.15 * Math.max(0, (x - JOINT) / (LAST - JOINT)) ** 2 };
    const known = determined(tongues(knownSurvey(falling)));
    expect([known.status, known.at.fret, known.reached]).toEqual(["falls away", 22, true]);
    expect(known.fall.value).toBeCloseTo(0.15, 12);
    const read = determined(tongues(readSurvey(falling)));
    expect(read.fall.low95).toBeLessThan(0.15);
    expect(read.fall.high95).toBeGreaterThan(0.15);
    expect(read.describe()).toMatch(/^Centre line, beyond the body joint \(fret 16\) at fret 22: falls away below the line of the neck by 0\.1\d mm, give or take /);
  });

  test("a tongue in the same forward bow as the neck rises", () => {
    const known = determined(tongues(knownSurvey({ lineMm: (x) => 0.2 * bow(x) })));
    expect(known.status).toBe("rises");
    expect(known.describe()).toContain("rises above the line of the neck by");
  });

  test("a zero fret is told apart, and only where there is one", () => {
    expect(zeroFrets(knownSurvey({ lineMm: () => 0 }))).toEqual([]);
    const neck: Neck = { ...NECK, zeroFret: true };
    const zero = determined(zeroFrets(knownSurvey({ lineMm: (x) => 0.001 * x, highMm: (fret) => (fret === 0 ? 0.05 : 0) }, neck)));
    expect(zero.status).toBe("above");
    expect(zero.over.value).toBeCloseTo(0.05, 12);
    expect(zero.describe()).toBe("Centre line, zero fret against the line of frets 1 to the joint carried back: stands above it by 0.05 mm, give or take 0.00 (2.0 thou, give or take 0.0).");
  });
});

describe("kink", () => {
  test("an even bow has none; a corner is told with its place and which way it points", () => {
    expect(Math.abs(determined(kinks(knownSurvey({ lineMm: (x) => 0.3 * bow(x) }))).up.value)).toBeLessThan(1e-10);
    const known = determined(kinks(knownSurvey({ lineMm: corner(200, 0.1) })));
    expect(known.status).toBe("corner up");
    expect(known.up.value).toBeGreaterThan(0.03);
    expect(known.up.value).toBeLessThan(0.05);
    expect(Math.abs(known.at.xMm - 200)).toBeLessThan(16);
    expect(determined(kinks(knownSurvey({ lineMm: corner(200, -0.1) }))).describe()).toContain("a corner that points down");
    expect(determined(kinks(knownSurvey({ lineMm: corner(200, -0.1) }))).describe()).toContain(" over 100 mm (3.9 in), beyond the even bow of the neck.");
    expect(determined(kinks(knownSurvey({ lineMm: corner(200, -0.1) }))).describe("thou first")).toContain(" over 3.9 in (100 mm), ");
  });

  test("is not told to be none where readings are too few for one to be seen: which to add is said, and with those it is told", () => {
    const read = (frets: readonly number[]): ReturnType<typeof kinks>[number] | undefined => kinks(adjust(NECK, sheet([along("centre", frets.map((fret) => exact("centre", fret, fret === 1 || fret === 16 ? 0 : 0.1)))])))[0];
    expect(read([1, 8, 16])?.describe()).toBe("Centre line, kink: not determined by these readings. To fix it: read gaps at frets 4 and 12 on the centre line too, under the edge that read the others: a kink hides where neighbouring readings are more than 100 mm (3.9 in) apart.");
    expect(read([1, 4, 8, 12, 16])?.status).toBe("undetermined");
    expect(read([1, 4, 6, 8, 12, 16])?.status).not.toBe("undetermined");
  });

  test("the joint's own corner is not told twice", () => {
    expect(Math.abs(determined(kinks(knownSurvey({ lineMm: corner(JOINT, 0.1) }))).up.value)).toBeLessThan(1e-10);
  });
});

test("straightness of a line is told about all three reference lines, the minimum zone the least", () => {
  const found = lineStraightness(readSurvey({ lineMm: (x) => 0.2 * bow(x) }));
  const widths = found.map((one) => (one.status === "determined" ? one.width.value : NaN));
  expect(found.map(({ reference }) => reference)).toEqual(["endPoint", "leastSquares", "minimumZone"]);
  expect(widths[2]).toBeLessThanOrEqual(Math.min(widths[0] ?? NaN, widths[1] ?? NaN));
  expect(found[2]?.describe()).toMatch(/^Centre line, frets 1 to 16: fret tops straight within 0\.\d\d mm, give or take .*, between two parallel lines as close as can be\.$/);
});

test("neckShape tells everything, and what is missing once", () => {
  const short = adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), exact("centre", 8, 0.2), exact("centre", 16, 0)])]));
  const said = neckShape(short).describe().split("\n");
  expect(said.filter((sentence) => sentence.includes("not determined"))).toHaveLength(4);
  expect(new Set(said).size).toBe(said.length);
});
