import { expect, test } from "vitest";
import { bentBy, fretsRaised, fretsSeated, rodTurned, twistedTo } from "../../src/invented/change.js";
import { rodBendMm, rodBendOf, type InventedRod } from "../../src/invented/rod.js";
import { trueHighMm, trueReliefMm } from "../../src/invented/truth.js";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { drawnNeck, levelNeck } from "./made.js";

const rod: InventedRod = { fromMm: 0, toMm: fretDistanceMm(635, 22), perTurnMm: 0.8, deadTurns: 0.25, bothWays: true };
const relief = (truth: ReturnType<typeof levelNeck>): number => trueReliefMm(truth, "centre", 1, 22).reliefMm;

test("a rod over the whole length bends as the neck's own bow does", () => {
  const byRod = relief(rodTurned(levelNeck(), rod, -0.75));
  expect(byRod).toBeCloseTo(relief(bentBy(levelNeck(), 0.4)), 9);
  expect(byRod).toBeGreaterThan(0);
});

test("tightening goes toward back bow, nothing moves in the dead zone, and a rod that works one way does nothing the other way", () => {
  expect(relief(rodTurned(levelNeck(), rod, 0.5))).toBeLessThan(-0.1);
  expect(relief(rodTurned(levelNeck(), rod, 0.2))).toBe(0);
  expect(relief(rodTurned(levelNeck(), { ...rod, bothWays: false }, -1))).toBe(0);
  expect(relief(rodTurned(levelNeck(), { ...rod, bothWays: false }, 0.5))).toBe(relief(rodTurned(levelNeck(), rod, 0.5)));
});

test("a rod's bend is smooth where it begins and ends, and straight beyond", () => {
  const bend = rodBendOf({ ...rod, fromMm: 50, toMm: 350 }, 1);
  const slope = (xMm: number): number => (rodBendMm(bend, xMm + 1e-4) - rodBendMm(bend, xMm - 1e-4)) / 2e-4;
  for (const xMm of [50, 350]) expect(Math.abs(slope(xMm - 1e-3) - slope(xMm + 1e-3))).toBeLessThan(1e-6);
  expect(slope(400)).toBeCloseTo(slope(360), 9);
  expect(rodBendMm(bend, 20)).toBeCloseTo(0, 15);
});

test("a change keeps what it does not name", () => {
  const { truth } = drawnNeck("change", 3);
  const seats = (one: typeof truth): number[] => one.seating.map(({ fret }) => trueHighMm(one, "bass", fret));
  for (const after of [bentBy(truth, 0.1), rodTurned(truth, rod, 1), twistedTo(truth, 0.4)]) expect(seats(after)).toEqual(seats(truth));
  const raised = fretsRaised(truth, [5, 6], 0.1);
  expect(seats(raised).map((mm, k) => Number((mm - (seats(truth)[k] ?? 0)).toFixed(9))).filter((mm) => mm !== 0)).toEqual([0.1, 0.1]);
  const seated = fretsSeated(raised, [5], 0.005);
  expect(trueHighMm(seated, "treble", 5)).toBe(0.005);
  expect(trueHighMm(seated, "treble", 6)).toBe(trueHighMm(raised, "treble", 6));
});
