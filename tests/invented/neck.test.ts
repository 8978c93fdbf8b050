import { expect, test } from "vitest";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedStream } from "../../src/invented/stream.js";
import type { InventedFamily, InventedTruth } from "../../src/invented/truth.js";

const NECKS = 600;
const made = (family: InventedFamily): InventedTruth[] => Array.from({ length: NECKS }, (_, k) => inventedNeck(inventedStream(11, `rates ${family}`, k), family));
const families = { smooth: made("smooth"), kinksAndZones: made("kinksAndZones"), atTheBench: made("atTheBench") };

/** Within four standard errors of a share. */
function share(hits: number, of: number, expected: number): void {
  expect(Math.abs(hits / of - expected)).toBeLessThan(4 * Math.sqrt((expected * (1 - expected)) / of));
}

test.each(Object.entries(families))("frets of family %s have the published rates", (_, necks) => {
  const seats = necks.flatMap((truth) => truth.seating);
  const high = seats.filter((seat) => seat.farOut === "high" || seat.farOut === "high at an end");
  share(high.length, seats.length, 0.075);
  share(high.filter((seat) => seat.farOut === "high").length, high.length, 0.6);
  const others = seats.filter((seat) => !high.includes(seat));
  share(others.filter((seat) => seat.bassEndMm > 0).length + others.filter((seat) => seat.trebleEndMm > 0).length, 2 * others.length, 0.02);
  const scatter = others.map((seat) => seat.wholeMm);
  const sd = Math.sqrt(scatter.reduce((sum, value) => sum + value * value, 0) / scatter.length);
  expect(Math.abs(sd / 0.008 - 1)).toBeLessThan(4 / Math.sqrt(2 * scatter.length));
  const ends = high.filter((seat) => seat.farOut === "high at an end").map((seat) => seat.bassEndMm + seat.trebleEndMm);
  expect(Math.min(...ends)).toBeGreaterThanOrEqual(0.04);
  expect(Math.max(...ends)).toBeLessThan(0.14);
});

test("the smooth family has neither kinks nor zones; kinks and zones have the published sizes", () => {
  for (const truth of families.smooth) expect([truth.kinks, truth.zones, truth.fallAwayMm]).toEqual([[], [], 0]);
  const kinks = families.kinksAndZones.flatMap((truth) => truth.kinks);
  const zones = families.kinksAndZones.flatMap((truth) => truth.zones);
  expect(kinks.length).toBe(NECKS);
  share(kinks.filter((kink) => kink.where === "body joint").length, NECKS, 0.5);
  share(kinks.filter((kink) => kink.upMm > 0).length, NECKS, 0.5);
  for (const kink of kinks) expect(Math.abs(Math.abs(kink.upMm) - 0.065)).toBeLessThanOrEqual(0.035);
  share(zones.length, NECKS, 0.7);
  share(zones.filter((zone) => zone.of === "board").length, zones.length, 0.5);
  for (const zone of zones) {
    expect(zone.toFret - zone.fromFret + 1).toBeGreaterThanOrEqual(4);
    expect(zone.toFret - zone.fromFret + 1).toBeLessThanOrEqual(6);
    expect(zone.upMm).toBeGreaterThanOrEqual(0.04);
    expect(zone.upMm).toBeLessThan(0.08);
  }
  for (const truth of families.kinksAndZones) for (const zone of truth.zones) expect(zone.fromFret >= 1 && zone.toFret <= truth.neck.frets).toBe(true);
});

test("half of the necks at the bench are in back bow", () => {
  share(families.atTheBench.filter((truth) => truth.bend.bowMm < 0).length, NECKS, 0.5);
});
