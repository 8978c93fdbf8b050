import { describe, expect, test } from "vitest";
import { adjust } from "neck-survey";
import type { EdgeSetting, HeightTerm, NextReading, Survey } from "neck-survey";
import { inventedStream } from "../../src/invented/stream.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { normalNoiseMm, openReadings } from "../../src/survey/openReadings.js";
import { EDGE, NECK, THOU, along, bowed, exact, gapMm, interval, leafInterval, lineNamed, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const SEED = 20261127;
/** Frets 8 to 12 stand 0.07 mm up on a neck in forward bow. */
const raised: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.07 : 0);
const over = (fret: number): readonly HeightTerm[] => [{ of: "fretTop", line: "centre", fret, weight: 1 }, { of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: -1 }];

function chord(near: number, middle: number, far: number): readonly HeightTerm[] {
  const [a = NaN, b = NaN, x = NaN] = [near, far, middle].map((fret) => place(fret).xMm);
  const t = (x - a) / (b - a);
  return [[near, t - 1], [far, -t], [middle, 1]].map(([fret = NaN, weight = NaN]) => ({ of: "fretTop", line: "centre", fret, weight }));
}

/** Uncertainty after the reading that gains most. */
function thenMm(found: NextReading): number {
  return found.status === "worthwhile" ? found.uThenMm : found.best?.uThenMm ?? NaN;
}

describe("the next reading by the normal approximation", () => {
  const zone = sheet(NECK.lines.map((line) => sweep(raised, line)));
  const survey = adjust(NECK, zone);

  test("starts from what the survey itself says, all explanations and corners counted", () => {
    for (const fret of [5, 7, 9, 13]) expect(survey.nextReading(over(fret)).uNowMm).toBeCloseTo(survey.linear(over(fret)).u, 12);
    expect(survey.nextReading(over(9)).uNowMm).toBeGreaterThan(0.03);
  });

  test("gains nothing on a doubt between explanations that foresee the reading alike", () => {
    expect(thenMm(survey.nextReading(over(9))) / survey.linear(over(9)).u).toBeGreaterThan(0.99);
  });

  test(`leaves what the best straight line from the reading leaves on draws of what is asked and of what is read (seed ${SEED})`, () => {
    const gaps = [1, 3, 5, 6, 8, 9, 10, 11, 12, 14, 16].map((fret) => (fret === 1 || fret === 16 ? exact("centre", fret, 0) : interval("centre", fret, ...leafInterval(gapMm(raised, lineNamed("centre"), [1, 16], fret)))));
    // of fret 5 hardly anything is known, though its gap was read
    const sparse = adjust(NECK, sheet([along("centre", gaps.map((gap) => (gap.place.fret === 5 ? interval("centre", 5, 0, 12 * THOU) : gap)))]));
    const asked = over(5);
    const [told, { terms, noiseMm }] = [sparse.nextReading(asked), rockingOf(sparse, 5)];
    expect(told).toMatchObject({ status: "worthwhile", tool: "rocker", at: { fret: 5 } });
    const stream = inventedStream(SEED, "next reading", 0);
    const draws = sparse.draws([asked, terms], 20_000, SEED).map(([height = NaN, rocked = NaN]) => [height, rocked + stream.normal(0, noiseMm)] as const);
    const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    const [height, read] = [mean(draws.map(([one]) => one)), mean(draws.map(([, one]) => one))];
    const slope = mean(draws.map(([one, other]) => (one - height) * (other - read))) / mean(draws.map(([, other]) => (other - read) ** 2));
    const left = Math.sqrt(mean(draws.map(([one, other]) => (one - height - slope * (other - read)) ** 2)));
    // 20,000 draws tell a standard deviation to half a hundredth
    expect(Math.abs(thenMm(told) / left - 1)).toBeLessThan(0.03);
  });
});

/** The rocking over a fret as heights of fret tops, and its noise as a normal. */
function rockingOf(survey: Survey, fret: number): { readonly terms: readonly HeightTerm[]; readonly noiseMm: number } {
  const candidate = openReadings(NECK, usableReadings(NECK, survey.sheet), { terms: over(fret), hand: { feelMm: survey.sheet.feelMm }, survey: 0 }).find(({ tool, at }) => tool === "rocker" && at.fret === fret);
  if (candidate === undefined) throw new RangeError(`expected a rocking over fret ${fret}`);
  return { terms: chord(fret - 1, fret, fret + 1), noiseMm: normalNoiseMm(candidate, 0) };
}

describe("what the edges' own bows make of what is unknown", () => {
  const relief: readonly HeightTerm[] = [1, 22, 11].map((fret, index) => {
    const t = (place(11).xMm - place(1).xMm) / (place(22).xMm - place(1).xMm);
    return { of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: [1 - t, t, -1][index] ?? NaN };
  });
  const named = (name: string): EdgeSetting => ({ ...sweep(bowed(0.2), lineNamed("centre")), label: name, tool: { ...EDGE, name, straightnessToleranceMm: 0.06 } });
  const asked = (settings: readonly EdgeSetting[]): { readonly found: NextReading; readonly u: number } => {
    const survey = adjust(NECK, sheet(settings));
    return { found: survey.nextReading(relief, "tried"), u: survey.linear(relief).u };
  };

  test("is less by root 2 where a second edge like the first was laid along the same line, and never more than what is unknown", () => {
    const [one, two] = [asked([named("one")]), asked([named("one"), named("other")])];
    expect(edgeOf(one.found)).toBeLessThan(one.u);
    expect(edgeOf(two.found)).toBeLessThan(two.u);
    expect(edgeOf(two.found) / edgeOf(one.found)).toBeCloseTo(Math.SQRT1_2, 2);
  });

  test("is told with many readings as with few, and not beside a doubt that is greater", () => {
    const many = asked(NECK.lines.map((line) => ({ ...named("one"), label: line.name, path: { kind: "along", line: line.name }, readings: sweep(bowed(0.2), line).readings })));
    expect(edgeOf(many.found)).toBeCloseTo(edgeOf(asked([named("one")]).found), 3);
    const zone = adjust(NECK, sheet([sweep(raised, lineNamed("centre"))])).nextReading(over(9), "tried");
    expect(zone).not.toHaveProperty("edgeMm");
  });
});

function edgeOf(found: NextReading): number {
  if (found.status !== "little to gain" || found.edgeMm === undefined) throw new RangeError("expected the edges' bows to make most of it");
  return found.edgeMm;
}
