import { expect, test } from "vitest";
import { diagonalSettings, SIGHTING_U_MM, sightingRiseMm, sightingSetting, withLineBetween } from "../../src/invented/across.js";
import { inventedStream } from "../../src/invented/stream.js";
import { trueHeightMm } from "../../src/invented/truth.js";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { adjust, twistOfNeck } from "neck-survey";
import { FULL_PLAN } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { widthMm } from "../../src/neck/surface.js";
import { drawnNeck, levelNeck } from "./made.js";

test("a line between two others is either of them at its ends and half-way between in the middle", () => {
  const { truth } = drawnNeck("across", 1, "kinksAndZones");
  for (const fret of [2, 9, 17]) {
    const at = (t: number): number => {
      const between = withLineBetween(truth, "bass", "treble", t);
      return trueHeightMm(between.truth, between.line, fret);
    };
    expect(at(0)).toBeCloseTo(trueHeightMm(truth, "bass", fret), 12);
    expect(at(1)).toBeCloseTo(trueHeightMm(truth, "treble", fret), 12);
  }
});

test("both diagonals of a level neck touch everywhere; on a twisted one the edge bridges one and rocks on the other", () => {
  const { operator, stream } = drawnNeck("across", 2);
  const straight = { ...operator, edge: { ...operator.edge, evenMm: 0, oddMm: 0 } };
  const written = (twistMm: number, from: string, to: string): string[][] =>
    diagonalSettings(levelNeck({ twistMm }), straight, stream, { line: from, fret: 1 }, { line: to, fret: 22 }).map(({ readings }) => readings.map((one) => one.written));
  expect(new Set(written(0, "bass", "treble").flat())).toEqual(new Set(["touch"]));
  const [rising, falling] = [written(0.6, "bass", "treble"), written(0.6, "treble", "bass")];
  expect(rising.length + falling.length).toBe(3);
});

test("the rise seen over bars is the twist between them, over the length of the bars", () => {
  const truth = levelNeck({ twistMm: 0.5 });
  const share = (fret: number): number => fretDistanceMm(635, fret) / fretDistanceMm(635, 22);
  const width = (fret: number): number => 43 + 13 * share(fret);
  const perWidth = (fret: number): number => (0.5 * share(fret)) / width(fret);
  expect(sightingRiseMm(truth, 1, 22, 300)).toBeCloseTo(300 * (perWidth(22) - perWidth(1)), 9);
  expect(sightingRiseMm(truth, 1, 22, 300)).toBeGreaterThan(0);
  expect(sightingRiseMm(levelNeck(), 1, 22, 300)).toBe(0);
});

test("sightings scatter as they say", () => {
  const truth = levelNeck({ twistMm: -0.3 });
  const stream = inventedStream(3, "sightings", 0);
  const trueMm = sightingRiseMm(truth, 1, 16, 300);
  const z = Array.from({ length: 2000 }, () => {
    const gap = sightingSetting(truth, stream, 1, 16).readings[0]?.gap;
    return gap?.kind === "exact" ? (gap.gapMm - trueMm) / SIGHTING_U_MM : NaN;
  });
  const mean = z.reduce((sum, one) => sum + one, 0) / z.length;
  const variance = z.reduce((sum, one) => sum + one * one, 0) / z.length;
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(z.length));
  expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / z.length));
});

test("an edge along a diagonal lies straight over a board that widens: both diagonals give the twist back, whatever the radius", () => {
  for (const fingerboardRadiusMm of [{ nut: 254, lastFret: 406 }, { nut: 241, lastFret: 241 }]) {
    const level = levelNeck({ twistMm: 0.5 });
    const truth = { ...level, neck: { ...level.neck, fingerboardRadiusMm } };
    const { operator, stream } = drawnNeck("across", 4);
    const straight = { ...operator, edge: { ...operator.edge, evenMm: 0, oddMm: 0 } };
    const along = inventedSheet(truth.neck, straight, inventedReadings(truth, straight, stream, { ...FULL_PLAN, settingsPerLine: 1, rocker: false }));
    const diagonals = [["bass", "treble"], ["treble", "bass"]].flatMap(([from = "", to = ""]) => diagonalSettings(truth, straight, stream, { line: from, fret: 1 }, { line: to, fret: 22 }));
    const found = twistOfNeck(adjust(truth.neck, { ...along, settings: [...along.settings, ...diagonals] }));
    if (found.status === "undetermined") throw new RangeError(found.need);
    const [from, to] = [found.from.xMm, found.to.xMm];
    const trueMm = 0.5 * (to / fretDistanceMm(635, 22) - (from / fretDistanceMm(635, 22)) * (widthMm(truth.neck, to) / widthMm(truth.neck, from)));
    expect(Math.abs(found.twist.value - trueMm)).toBeLessThan(2 * found.twist.u);
    expect(found.twist.u).toBeLessThan(0.03);
  }
});
