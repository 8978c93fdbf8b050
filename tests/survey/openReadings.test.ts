import { describe, expect, test } from "vitest";
import { METRIC_LEAVES, THOU_LEAVES, readBenchText, valueOrThrow } from "neck-survey";
import type { EdgeSetting, HeightTerm, RockerReading, Tool } from "neck-survey";
import { equationsOf } from "../../src/survey/model/equations.js";
import { layoutOf } from "../../src/survey/model/layout.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { normalNoiseMm, openReadings, withinReach } from "../../src/survey/openReadings.js";
import type { Candidate } from "../../src/survey/openReadings.js";
import { EDGE, NECK, ROCKER, THOU, along, exact, interval, place, sheet } from "./bench.js";

const FEEL_MM = 0.005;
const over = (fret: number, line = "centre"): readonly HeightTerm[] => [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: place(fret).xMm, weight: -1 }];
const three = (line = "centre", tool: Tool = EDGE): EdgeSetting => along(line, [exact(line, 1, 0), interval(line, 8, 8 * THOU, 9 * THOU), exact(line, 16, 0)], tool);

function open(settings: readonly EdgeSetting[], terms = over(5), rockers: readonly RockerReading[] = []): readonly Candidate[] {
  return openReadings(NECK, withinReach(NECK, usableReadings(NECK, sheet(settings, rockers))), { terms, hand: { feelMm: FEEL_MM }, survey: 0 });
}

function gapAt(fret: number, settings: readonly EdgeSetting[] = [three()]): Candidate {
  const found = open(settings).find(({ tool, at }) => tool === "straightedge" && at.fret === fret);
  if (found === undefined) throw new RangeError(`expected a gap at fret ${fret} to be open`);
  return found;
}

/** The leaves between which gaps of so many thou are read, in thou. */
function leavesOf(gap: Candidate, ...thou: readonly number[]): readonly (readonly number[])[] {
  const [first = 0] = thou;
  return gap.outcomes(first * THOU - gap.knownMm, thou.map((one) => (one - first) * THOU)).map(({ lowMm, highMm }) => [lowMm, highMm].map((mm) => Number(((mm + gap.knownMm) / THOU).toFixed(6))));
}

describe("what a gap may be read as", () => {
  const gap = gapAt(5);

  test("goes by the leaves of the usual set: every step of it comes out where a gap lies in it", () => {
    const ladder = [0, ...THOU_LEAVES.leavesMm.map((mm) => Number((mm / THOU).toFixed(6)))];
    for (const [index, leaf] of ladder.slice(0, -1).entries()) {
      const next = ladder[index + 1] ?? NaN;
      expect(leavesOf(gap, (leaf + next) / 2)).toEqual([[leaf, next]]);
    }
  });

  test("a gap of 1.5 to 2 thou is told from one that takes no leaf", () => {
    expect(leavesOf(gap, 1.2, 1.7, 2.2)).toEqual([[0, 1.5], [1.5, 2], [2, 2.5]]);
  });

  test("is told once, is not below nothing, and goes on by stacks beyond the thickest leaf", () => {
    expect(leavesOf(gap, 0.2, -3, 1.1)).toEqual([[0, 1.5]]);
    expect(leavesOf(gap, 42.5)).toEqual([[42, 43]]);
  });

  test("as a normal has the noise of the hand and the leaf, and the width of the step over root 12", () => {
    for (const [thou, width] of [[0.5, 1.5], [1.7, 0.5], [6.5, 1], [23, 2]] as const) {
      expect(normalNoiseMm(gap, thou * THOU - gap.knownMm)).toBeCloseTo(Math.hypot(FEEL_MM, 0.004 / Math.sqrt(3), (width * THOU) / Math.sqrt(12)), 9);
    }
  });
});

test("where a sheet was read with leaves in mm, what is still to be read goes by those, also where none was stated", () => {
  const read = (head: string, gap = "0.20") => {
    const outcome = readBenchText(NECK, `${head}\nfret centre\n1 touch\n8 ${gap}\n16 touch`);
    if (outcome.status !== "read") throw new Error("expected readings");
    const candidates = openReadings(NECK, usableReadings(NECK, outcome.value), { terms: over(8), hand: outcome.value, survey: 0 });
    return { leaves: outcome.value.leaves, rocking: candidates.find(({ tool }) => tool === "rocker")?.outcomes(0, [0])[0]?.highMm };
  };
  const [metric, own, thou] = [read("unit: mm"), read("leaves: 0.08 0.10 0.20 0.30 mm, tolerance 0.002 mm"), read("leaves: 1.5 2 4 7 8 9 thou", "8").rocking];
  expect(metric.leaves).toEqual(METRIC_LEAVES);
  expect(own.leaves?.leavesMm).toEqual([0.08, 0.1, 0.2, 0.3]);
  // the thinnest leaf decides what a rocker shows
  expect((metric.rocking ?? NaN) / (own.rocking ?? NaN)).toBeCloseTo(0.03 / 0.08, 9);
  expect((thou ?? NaN) / (own.rocking ?? NaN)).toBeCloseTo((1.5 * THOU) / 0.08, 9);
});

describe("a reading that is open", () => {
  test("has form and known part of the equation that it becomes when it is read: radius, checked bow and sag of an edge", () => {
    const tool: Tool = { ...EDGE, bow: { mm: 0.03, uMm: 0.002 }, section: { heightMm: 25, thicknessMm: 6, material: "aluminium" } };
    const setting = three("treble", tool);
    const found = open([setting], over(5, "treble")).find(({ tool: kind, at }) => kind === "straightedge" && at.fret === 5);
    const usable = withinReach(NECK, usableReadings(NECK, sheet([setting])));
    const layout = layoutOf(usable);
    const more = { ...usable, settings: usable.settings.map((one) => ({ ...one, readings: [...one.readings, interval("treble", 5, 5 * THOU, 6 * THOU)] })) };
    const taken = equationsOf(NECK, more, layout, FEEL_MM).find(({ from }) => from.kind === "gap" && from.reading.place.fret === 5);
    expect(found?.form(layout)).toEqual(taken?.row);
    expect(found?.knownMm).toBeCloseTo(taken?.knownMm ?? NaN, 12);
    expect(found?.noiseMm).toBeCloseTo(taken?.sMm ?? NaN, 4);
    expect(Math.abs((found?.knownMm ?? 0) - (open([three("treble")], over(5, "treble")).find(({ key }) => key === found?.key)?.knownMm ?? 0))).toBeGreaterThan(0.005);
  });

  test("of a rocker too, its checked bow and its own unknown one counted", () => {
    const tool: Tool = { ...ROCKER, bow: { mm: 0.01, uMm: 0.001 } };
    const rocked = (middle: number): RockerReading => ({ tool, line: "centre", frets: [middle - 1, middle, middle + 1], deltaMm: { low: -0.0381, high: 0.019 }, endsUMm: 0.004 / Math.sqrt(3), written: "still", origin: { source: "test sheet", row: middle, column: "centre" } });
    const found = open([three()], over(5), [rocked(12)]).find(({ tool: kind, at }) => kind === "rocker" && at.fret === 5);
    const usable = withinReach(NECK, usableReadings(NECK, sheet([three()], [rocked(12), rocked(5)])));
    const layout = layoutOf(usable);
    const taken = equationsOf(NECK, usable, layout, FEEL_MM).find(({ from }) => from.kind === "rocker" && from.reading.frets[1] === 5);
    expect(found?.form(layout)).toEqual(taken?.row);
    expect(found?.knownMm).toBeCloseTo(taken?.knownMm ?? NaN, 12);
    expect(found?.noiseMm).toBeCloseTo(taken?.sMm ?? NaN, 9);
  });

  test("lies on a line that is asked for, and is a rocking only over a fret that was read or is asked for", () => {
    const found = open([three(), three("bass")]);
    expect(new Set(found.map(({ line }) => line))).toEqual(new Set(["centre"]));
    expect(found.filter(({ tool }) => tool === "rocker").map(({ at }) => at.fret)).toEqual([5, 8, 16]);
    expect(new Set(found.map(({ key }) => key)).size).toBe(found.length);
  });

  test("a rocking stands still as far up and down as one that is read so, and rocks above that", () => {
    const { rockers } = valueOrThrow(readBenchText(NECK, "rocked frets 4-6 on centre: still"), "the bench text");
    const read = rockers.find(({ frets }) => frets[1] === 5)?.deltaMm;
    const rocking = open([three()]).find(({ tool, at }) => tool === "rocker" && at.fret === 5);
    const ways = rocking?.outcomes(0, [0]).map(({ lowMm, highMm }) => [lowMm, highMm].map((mm) => mm + rocking.knownMm)) ?? [];
    const [still, rocks] = ways;
    expect(ways).toHaveLength(2);
    expect(still?.[0]).toBe(read?.low);
    expect(still?.[1]).toBeCloseTo(read?.high ?? NaN, 6);
    expect(rocks?.[0]).toBe(still?.[1]);
  });
});
