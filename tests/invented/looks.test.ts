import { expect, test } from "vitest";
import { diagonalSettings, sightingSetting } from "../../src/invented/across.js";
import { crownMetalMm, crownOverWoodMm, underCrownGapMm, withBuild, woodContactMm } from "../../src/invented/build.js";
import { inventedCsv } from "../../src/invented/csv.js";
import { crownGaugeSetting, underCrownSetting, woodSettings } from "../../src/invented/looks.js";
import type { OperatorChoice } from "../../src/invented/operator.js";
import { FULL_PLAN } from "../../src/invented/plan.js";
import { inventedReadings } from "../../src/invented/readings.js";
import { inventedStream } from "../../src/invented/stream.js";
import { smoothLineMm, trueHighMm } from "../../src/invented/truth.js";
import { fretDistanceMm, fretTops } from "../../src/neck/frets.js";
import { readReadingsCsv } from "../../src/readings/readingsCsv.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { drawnNeck, EXACT_HANDS, levelNeck } from "./made.js";

const built = (number: number, choice: OperatorChoice = EXACT_HANDS): ReturnType<typeof drawnNeck> => {
  const made = drawnNeck("looks", number, "smooth", choice);
  return { ...made, truth: withBuild(made.truth, inventedStream(3, "looks/build", number)) };
};
const within4 = (hits: number, of: number, expected: number): void => expect(Math.abs(hits / of - expected)).toBeLessThan(4 * Math.sqrt((expected * (1 - expected)) / of));

test("withBuild draws what it publishes, and leaves the neck as it was", () => {
  const necks = Array.from({ length: 400 }, (_, k) => ({ before: drawnNeck("looks", k).truth, after: built(k).truth }));
  for (const { before, after: { build: _build, ...rest } } of necks) expect(rest).toEqual(before);
  const wood = necks.flatMap(({ after }) => Object.values(after.build?.woodMm ?? {}).flat());
  const sd = Math.sqrt(wood.reduce((sum, mm) => sum + mm * mm, 0) / wood.length);
  expect(Math.abs(sd / 0.008 - 1)).toBeLessThan(4 / Math.sqrt(2 * wood.length));
  const out = necks.reduce((sum, { after }) => sum + after.seating.filter(({ farOut }) => farOut !== "no").length, 0);
  within4(necks.reduce((sum, { after }) => sum + (after.build?.unseated.length ?? 0), 0), out, 0.7);
  const wires = necks.map(({ after }) => after.build?.wireMm ?? 0);
  expect(Math.min(...wires)).toBeGreaterThanOrEqual(1);
  expect(Math.max(...wires)).toBeLessThan(1.25);
});

test("a crown's metal, the air under it and the wood beside it make up the height of its top", () => {
  const { truth } = built(4);
  const { wireMm = 0, woodMm = {}, unseated = [] } = truth.build ?? {};
  expect(unseated.length).toBeGreaterThan(0);
  for (const fret of fretTops(truth.neck)) {
    const air = underCrownGapMm(truth, "treble", fret);
    expect(air > 0).toBe(unseated.includes(fret) && trueHighMm(truth, "treble", fret) > 0);
    expect(crownMetalMm(truth, "treble", fret) + air).toBeCloseTo(crownOverWoodMm(truth, "treble", fret), 12);
  }
  const space = 6 - (fretTops(truth.neck)[0] ?? 0);
  const beside = ((woodMm.bass?.[space - 1] ?? NaN) + (woodMm.bass?.[space] ?? NaN)) / 2;
  expect(crownOverWoodMm(truth, "bass", 6)).toBeCloseTo(wireMm + trueHighMm(truth, "bass", 6) - beside, 12);
  expect(() => crownMetalMm(levelNeck(), "bass", 6)).toThrow("expected a neck from withBuild");
});

test("leaves go under crowns that are not pressed home, and under no others", () => {
  let [went, not] = [0, 0];
  for (let number = 0; number < 40; number += 1) {
    const { truth, operator, stream } = built(number);
    for (const line of ["bass", "treble"]) {
      for (const { place, gap, written } of underCrownSetting(truth, operator, stream, line, fretTops(truth.neck)).readings) {
        const trueMm = underCrownGapMm(truth, line, place.fret ?? -1);
        expect(gap.kind === "interval" && gap.lowMm <= trueMm && trueMm <= gap.highMm).toBe(true);
        if (written === "0") not += 1;
        else went += 1;
      }
    }
  }
  expect([went > 20, not > 1000]).toEqual([true, true]);
});

test("wood readings with exact hands hold for the wood under the edge", () => {
  for (let number = 0; number < 10; number += 1) {
    const { truth, operator, stream } = built(number);
    for (const { readings } of woodSettings(truth, operator, stream, "centre")) {
      expect(readings.length).toBeGreaterThan(14);
      expect(readings.filter(({ written }) => written === "touch").length).toBeGreaterThan(0);
      for (const { place, gap } of readings) expect(place.fret === undefined && (gap.kind === "exact" || gap.lowMm < gap.highMm)).toBe(true);
    }
  }
  const level = withBuild(levelNeck(), inventedStream(3, "level wood", 0));
  expect(woodContactMm(level, "bass", 3)).toBeCloseTo(level.build?.woodMm.bass?.[2] ?? NaN, 12);
  expect(() => woodContactMm(level, "bass", 22)).toThrow("expected a fret with another after it");
});

test("what was read on wood, under crowns, with a gauge, diagonally and over bars reads back from the CSV as it was meant", () => {
  const { truth, operator, stream } = built(2, {});
  const more = [
    ...woodSettings(truth, operator, stream, "centre"), underCrownSetting(truth, operator, stream, "bass", [3, 7]), crownGaugeSetting(truth, stream, "treble", [3, 7]),
    ...diagonalSettings(truth, operator, stream, { line: "bass", fret: 1 }, { line: "treble", fret: 16 }), sightingSetting(truth, stream, 1, 16),
  ];
  const csv = inventedCsv(inventedReadings(truth, operator, stream, FULL_PLAN), { neck: truth.neck.name, stage: "s", date: "2026-01-02" }, more);
  const [sheet] = valueOrThrow(readReadingsCsv(truth.neck, csv), "CSV");
  const kinds = (settings: typeof more): unknown[] => settings.map(({ surface, path, tool, readings }) => [surface, path, tool.kind, readings.map(({ line, place, gap }) => [line, place.label, kindOf(gap)])]);
  const asMeant = new Set(kinds(more).map((one) => JSON.stringify(one)));
  const found = kinds([...(sheet?.settings ?? [])]).map((one) => JSON.stringify(one)).filter((one) => asMeant.has(one));
  expect(new Set(found)).toEqual(asMeant);
});

function kindOf(gap: ReturnType<typeof woodSettings>[number]["readings"][number]["gap"]): (string | number)[] {
  return gap.kind === "exact" ? ["exact", Number(gap.gapMm.toFixed(9)), Number(gap.uMm.toFixed(9))] : ["interval", Number(gap.lowMm.toFixed(9)), Number(gap.highMm.toFixed(9)), Number(gap.endsUMm.toFixed(9))];
}

test("the wood follows the smooth line", () => {
  const truth = withBuild(levelNeck({ bend: { bowMm: 0.3, sShapeMm: 0, waveMm: 0 } }), inventedStream(3, "bowed wood", 0));
  const xMm = (fretDistanceMm(635, 9) + fretDistanceMm(635, 10)) / 2;
  expect(Math.abs(woodContactMm(truth, "centre", 9) - smoothLineMm(truth, "centre", xMm))).toBeLessThan(0.05);
});
