import { expect, test } from "vitest";
import { inventedNeck } from "../../src/invented/neck.js";
import { inventedOperator } from "../../src/invented/operator.js";
import { FULL_PLAN } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedSheet } from "../../src/invented/sheet.js";
import { inventedStream } from "../../src/invented/stream.js";
import { trueHighMm } from "../../src/invented/truth.js";
import { fretDistanceMm, fretTops } from "../../src/neck/frets.js";
import { adjust } from "../../src/survey/adjust.js";
import { adjustTold, type Told } from "../../src/survey/adjustTold.js";

const SEED = 31;

/** Squared errors of the frets' heights over the line, by who judges. */
function errors(number: number): Record<"told" | "misled" | "untold", number[]> {
  const truth = inventedNeck(inventedStream(SEED, "told/neck", number), "smooth");
  const hand = inventedStream(SEED, "told/operator", number);
  const operator = inventedOperator(hand);
  const sheet = inventedSheet(truth.neck, operator, inventedReadings(truth, operator, hand, FULL_PLAN));
  const isFarOut = (fret: number): boolean => truth.seating.find((seat) => seat.fret === fret)?.farOut !== "no";
  const judged = (farOut: Told["farOut"]) => adjustTold(truth.neck, sheet, { seatingMm: 0.008, farOut }) ?? expect.fail("not settled");
  const [told, misled, survey] = [judged(isFarOut), judged(() => false), adjust(truth.neck, sheet)];
  const lineOf = (line: string, fret: number) => ({ of: "neckLine", line, xMm: fretDistanceMm(truth.neck.scaleLengthMm, fret), weight: -1 } as const);
  const places = truth.neck.lines.flatMap(({ name }) => fretTops(truth.neck).map((fret) => ({ line: name, fret, trueMm: trueHighMm(truth, name, fret) })));
  return {
    told: places.map(({ line, fret, trueMm }) => (told(line, fret).value - trueMm) ** 2),
    misled: places.map(({ line, fret, trueMm }) => (misled(line, fret).value - trueMm) ** 2),
    untold: places.map(({ line, fret, trueMm }) => (survey.linear([{ of: "fretTop", line, fret, weight: 1 }, lineOf(line, fret)]).value - trueMm) ** 2),
  };
}

test(`adjustTold comes nearer to the truth than the survey, and far nearer than one misled about which frets are far out (seed ${SEED})`, () => {
  const all = Array.from({ length: 6 }, (_, number) => errors(number));
  const rmse = (who: "told" | "misled" | "untold"): number => {
    const squares = all.flatMap((one) => one[who]);
    return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
  };
  expect(rmse("told")).toBeLessThan(0.006);
  expect(rmse("told")).toBeLessThanOrEqual(1.02 * rmse("untold"));
  expect(rmse("misled")).toBeGreaterThan(1.5 * rmse("told"));
});

test("adjustTold refuses a fret that was not reached", () => {
  const { neck } = inventedNeck(inventedStream(SEED, "told/neck", 0), "smooth");
  const sheet = inventedSheet(neck, inventedOperator(inventedStream(SEED, "x", 0)), { settings: [{ line: "centre", number: 1, gaps: [1, 5, 9].map((fret) => ({ fret, xMm: fretDistanceMm(neck.scaleLengthMm, fret), trueGapMm: 0.1, read: { written: "4", gap: { kind: "interval", lowMm: 0.1016, highMm: 0.127, endsUMm: 0.002 } } })) }], rockers: [] });
  expect(() => adjustTold(neck, sheet, { seatingMm: 0.008, farOut: () => false })?.("centre", 12)).toThrow("expected a fret between the first and the last reading");
});
