import fc from "fast-check";
import { expect, test } from "vitest";
import { adjust, readBenchText, reliefs, valueOrThrow, verdict } from "neck-survey";
import { NECK, THOU, along, exact, interval, sheet } from "./bench.js";

const SEED = 20261125;

test("a rocker pass with two exceptions under a sparse edge is adjusted", () => {
  const text = `fret  bass  centre treble
1     touch touch  touch
5     7     8      7..8
9     10    -      11
16    touch touch  0
rocked frets 2-21 on bass, centre, treble: still except 7 treble rocks 2, 14 centre rocks
`;
  const survey = adjust(NECK, valueOrThrow(readBenchText(NECK, text), "the bench text"));
  expect(reliefs(survey).map(({ status }) => status)).toEqual(["determined", "determined", "determined"]);
  expect(survey.blunders).toEqual([]);
  expect(survey.undetermined).toEqual([]); // a fret over which only a rocker stood was not asked for its height
});

const reading = fc.record({
  fret: fc.integer({ min: 1, max: 22 }),
  low: fc.double({ min: 0, max: 3, noNaN: true }),
  width: fc.oneof(fc.double({ min: 1e-3, max: 0.1, noNaN: true }), fc.constant(Infinity)),
  touching: fc.boolean(),
});

test("whatever was read, however contradictory, gives finite numbers or says what is undetermined", () => {
  fc.assert(fc.property(fc.array(fc.array(reading, { minLength: 1, maxLength: 8 }), { minLength: 1, maxLength: 4 }), (settings) => {
    const survey = adjust(NECK, sheet(settings.map((readings, index) => {
      const line = ["bass", "centre", "treble"][index % 3] ?? "centre";
      return along(line, readings.map(({ fret, low, width, touching }) => (touching ? exact(line, fret, 0) : interval(line, fret, low, low + width))));
    })));
    const numbers = [...survey.heights.flatMap(({ heightMm, uMm }) => [heightMm, uMm]), ...survey.lines.flatMap((line) => [...line.heightMm, ...line.uMm])];
    for (const value of numbers) expect(Number.isFinite(value)).toBe(true);
    for (const relief of reliefs(survey)) {
      if (relief.status === "determined") expect(Number.isFinite(relief.relief.value + relief.relief.u + relief.relief.low95 + relief.relief.high95)).toBe(true);
      else expect(relief.need.length).toBeGreaterThan(10);
    }
    expect(verdict(survey).describe()).not.toMatch(/NaN|undefined|Infinity/);
  }), { seed: SEED, numRuns: 15 });
}, 120_000);

test("a gap of centimetres among hundredths is named, not believed", () => {
  const readings = [1, 3, 5, 7, 9, 11, 13, 16].map((fret) => (fret === 1 || fret === 16 ? exact("centre", fret, 0) : fret === 9 ? interval("centre", 9, 5, 5.1) : interval("centre", fret, 4 * THOU, 5 * THOU)));
  const survey = adjust(NECK, sheet([along("centre", readings)]));
  expect(survey.blunders[0]).toMatchObject({ at: "9" });
});

test("one slip among few readings is named, not its good neighbours, and the shape is that of the others", () => {
  const gaps: readonly (readonly [number, number])[] = [[3, 4], [5, 6], [7, 8], [11, 7], [13, 5], [15, 3]];
  const rest = gaps.map(([fret, leaf]) => interval("centre", fret, leaf * THOU, (leaf + 1) * THOU));
  const sheetWith = (leaf: number): ReturnType<typeof sheet> => sheet([along("centre", [exact("centre", 1, 0), ...rest, interval("centre", 9, leaf * THOU, (leaf + 1) * THOU), exact("centre", 16, 0)])]);
  const slipped = adjust(NECK, sheetWith(19));
  expect(slipped.blunders.map(({ at, written }) => [at, written])).toEqual([["9", "19.0 thou"]]);
  const [sound, without] = [adjust(NECK, sheetWith(8)), slipped].map((survey) => reliefs(survey)[0]);
  if (sound?.status !== "determined" || without?.status !== "determined") throw new RangeError("expected determined reliefs");
  expect(Math.abs(without.relief.value - sound.relief.value)).toBeLessThan(0.02);
  expect(adjust(NECK, sheetWith(8)).blunders).toEqual([]);
});
