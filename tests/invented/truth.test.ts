import fc from "fast-check";
import { expect, test } from "vitest";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedStream } from "../../src/invented/stream.js";
import { contactHeightMm, departureMm, smoothLineMm, trueHeightMm, trueHighMm, trueOverChordMm, trueReliefMm, type InventedTruth } from "../../src/invented/truth.js";
import { fretDistanceMm, fretTops } from "../../src/neck/frets.js";

const SEED = 4711;
const STILL = { bowMm: 0, sShapeMm: 0, waveMm: 0 };

function plainNeck(change: Partial<InventedTruth> = {}): InventedTruth {
  const neck: InventedTruth["neck"] = {
    name: "PLAIN", scaleLengthMm: 635, frets: 22, zeroFret: false, bodyJoint: 16,
    fingerboardRadiusMm: { nut: 304.8, lastFret: 304.8 }, widthMm: { nut: 43, lastFret: 56 },
    lines: [{ name: "bass", share: 0.1 }, { name: "centre", share: 0.5 }, { name: "treble", share: 0.9 }], assumed: [],
  };
  const seating = fretTops(neck).map((fret) => ({ fret, wholeMm: 0, bassEndMm: 0, trebleEndMm: 0, farOut: "no" as const }));
  return { family: "smooth", neck, bend: STILL, lineBends: {}, twistMm: 0, kinks: [], zones: [], fallAwayMm: 0, seating, ...change };
}

const x = (fret: number): number => fretDistanceMm(635, fret);

test("trueReliefMm of a parabola is its closed form, forward bow positive", () => {
  const lastMm = x(22);
  for (const bowMm of [0.2, -0.3]) {
    const relief = trueReliefMm(plainNeck({ bend: { ...STILL, bowMm } }), "centre", 1, 22);
    expect(Math.abs(relief.reliefMm - bowMm * ((lastMm - x(1)) / lastMm) ** 2)).toBeLessThan(1e-9);
    expect(Math.abs(relief.xMm - (x(1) + lastMm) / 2)).toBeLessThan(0.01);
  }
});

test("trueReliefMm of a corner is its closed form: a hump is back bow", () => {
  const truth = plainNeck({ kinks: [{ where: "body joint", xMm: x(16), upMm: 0.05 }] });
  const relief = trueReliefMm(truth, "bass", 1, 22);
  const arms = ((x(16) - x(1)) * (x(22) - x(16))) / (x(22) - x(1));
  expect(relief.xMm).toBe(x(16));
  expect(Math.abs(relief.reliefMm + (2 * 0.05 * arms) / 100)).toBeLessThan(1e-12);
});

test(`trueReliefMm is what a fine search finds, in all families (seed ${SEED})`, () => {
  fc.assert(
    fc.property(fc.constantFrom("smooth" as const, "kinksAndZones" as const, "atTheBench" as const), fc.nat(100_000), (family, neck) => {
      const truth = inventedNeck(inventedStream(SEED, "truth", neck), family);
      const last = truth.neck.frets;
      const at = (fret: number): number => fretDistanceMm(truth.neck.scaleLengthMm, fret);
      const fine = Array.from({ length: 8001 }, (_, k) => departureMm(truth, "treble", at(1) + ((at(last) - at(1)) * k) / 8000, at(1), at(last)));
      const found = trueReliefMm(truth, "treble", 1, last).reliefMm;
      expect(Math.abs(found)).toBeGreaterThanOrEqual(Math.max(...fine.map(Math.abs)) - 1e-9);
      expect(Math.abs(found)).toBeLessThan(Math.max(...fine.map(Math.abs)) + 1e-4);
    }),
    { seed: SEED, numRuns: 40 },
  );
});

test("a high fret stands over the line and bends nothing; an end falls to nothing at the centre", () => {
  const level = plainNeck();
  const seating = level.seating.map((seat) => (seat.fret === 7 ? { ...seat, wholeMm: 0.05, trebleEndMm: 0.06 } : seat));
  const truth = { ...level, seating };
  expect(["bass", "centre", "treble"].map((line) => Number(trueHighMm(truth, line, 7).toFixed(12)))).toEqual([0.05, 0.05, 0.11]);
  expect(trueReliefMm(truth, "treble", 1, 22).reliefMm).toBe(0);
  expect(Math.abs(trueOverChordMm(truth, "treble", 7, 1, 22) - 0.11)).toBeLessThan(1e-12);
  expect(Math.abs(trueOverChordMm(truth, "treble", 22, 1, 22))).toBeLessThan(1e-12);
});

test("twist lifts the treble side and moves no chord", () => {
  const truth = plainNeck({ twistMm: 0.5 });
  expect(Math.abs(smoothLineMm(truth, "treble", x(22)) - smoothLineMm(truth, "bass", x(22)) - 0.4)).toBeLessThan(1e-12);
  expect(Math.abs(trueReliefMm(truth, "treble", 1, 22).reliefMm)).toBeLessThan(1e-12);
});

test("a zone of the board is in the line, a zone of frets is over it; both stand up alike", () => {
  const board = plainNeck({ zones: [{ fromFret: 5, toFret: 8, upMm: 0.06, of: "board" }] });
  const frets = plainNeck({ zones: [{ fromFret: 5, toFret: 8, upMm: 0.06, of: "frets" }] });
  const heights = (truth: InventedTruth): number[] => [4, 5, 8, 9].map((fret) => Number(trueHeightMm(truth, "centre", fret).toFixed(12)));
  expect(heights(board)).toEqual([0, 0.06, 0.06, 0]);
  expect(heights(frets)).toEqual([0, 0.06, 0.06, 0]);
  expect(trueHighMm(board, "centre", 6)).toBe(0);
  expect(trueHighMm(frets, "centre", 6)).toBe(0.06);
});

test("a tool on a perfect radiused board meets the back bow of a cylinder on an outer line, none in the centre", () => {
  const truth = plainNeck();
  const t = (x(9) - x(1)) / (x(22) - x(1));
  const overChord = (line: string): number => contactHeightMm(truth, line, 9) - (1 - t) * contactHeightMm(truth, line, 1) - t * contactHeightMm(truth, line, 22);
  const acrossMm = (0.4 * (56 - 43) * (x(22) - x(1))) / x(22);
  expect(overChord("centre")).toBe(0);
  // Parabola of the circle's top: y^2 / 2R along a straight path; its next term is of order y^4 / 8R^3, below 1e-4 mm here.
  expect(Math.abs(overChord("bass") - (acrossMm ** 2 * t * (1 - t)) / (2 * 304.8))).toBeLessThan(1e-4);
});

test("truth refuses frets and lines that the neck does not have", () => {
  expect(() => trueHighMm(plainNeck(), "centre", 0)).toThrow(/Cannot give the seating of fret 0: the neck has fret tops 1, 2/);
  expect(() => smoothLineMm(plainNeck(), "middle", 100)).toThrow(/Cannot find line "middle": the neck has bass, centre, treble/);
});
