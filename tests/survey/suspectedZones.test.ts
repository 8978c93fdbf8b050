import type { EdgeSetting } from "neck-survey";
import { Matrix, determinant, solve } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { inventedStream } from "../../src/invented/stream.js";
import { logEvidenceOf, scatterGrid } from "../../src/survey/estimation/scatterGrid.js";
import { standingsOf } from "../../src/survey/estimation/standings.js";
import { topPoint } from "../../src/survey/explanation.js";
import type { Explanation } from "../../src/survey/explanation.js";
import { equationsOf } from "../../src/survey/model/equations.js";
import { fretClasses } from "../../src/survey/model/fretClasses.js";
import { layoutOf } from "../../src/survey/model/layout.js";
import type { Zone } from "../../src/survey/model/layout.js";
import { ZONE } from "../../src/survey/model/prior.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { raiseOf, suspectedZones } from "../../src/survey/suspectedZones.js";
import { zoneGains } from "../../src/survey/zoneGains.js";
import { NECK, along, bowed, interval, leafInterval, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

type Fit = Omit<Explanation, "probability">;

/** Frets `from` to `to` stand up by `upMm` on a neck in forward bow whose frets are pressed in to a hundredth or so. */
function raised(from: number, to: number, upMm: number): Truth {
  return (line, fret) => bowed(0.2)(line, fret) + 0.008 * Math.sin(2.4 * fret) + (fret >= from && fret <= to ? upMm : 0);
}

function fitted(truth: Truth, zone?: Zone, more: readonly EdgeSetting[] = []): Fit {
  const read = sheet([...NECK.lines.map((line) => sweep(truth, line)), ...more]);
  const usable = usableReadings(NECK, read);
  const layout = layoutOf(usable, zone);
  const equations = equationsOf(NECK, usable, layout, read.feelMm);
  return { layout, equations, grid: scatterGrid(layout, equations, usable.settings.length) };
}

/** A notched edge on the wood of the centre line, read midway between all frets; the wood lies 0.5 mm under it where it is level with its ends. */
function woodSweep(heightAt: (fret: number) => number): EdgeSetting {
  const wood = along("centre", Array.from({ length: 21 }, (_, index) => {
    const [near, far] = [index + 1, index + 2];
    return { ...interval("centre", near, ...leafInterval(0.5 - (heightAt(near) + heightAt(far)) / 2)), place: { label: `${near}.5`, xMm: (place(near).xMm + place(far).xMm) / 2 } };
  }));
  return { ...wood, surface: "wood", tool: { ...wood.tool, kind: "notched", name: "notched" } };
}

/** Stations are counted from fret 1 at 0. */
const frets = (zones: ReturnType<typeof suspectedZones>): readonly (readonly number[])[] => zones.map(({ from, to }) => [from + 1, to + 1]);

describe("zones that are tried", () => {
  test.each([[8, 12, 0.06], [3, 6, 0.07], [14, 19, 0.05]] as const)("frets %d to %d, up by %f mm, are the first", (from, to, upMm) => {
    expect(frets(suspectedZones(fitted(raised(from, to, upMm))))[0]).toEqual([from, to]);
  });

  test("none on an even neck, nor for two high frets side by side", () => {
    expect(suspectedZones(fitted(raised(0, 0, 0)))).toEqual([]);
    expect(suspectedZones(fitted(raised(8, 9, 0.08)))).toEqual([]);
  });

  test("no fall of all others is tried in the place of a rise", () => {
    for (const [from, to] of frets(suspectedZones(fitted(raised(8, 12, 0.06))))) {
      expect(from).toBeLessThanOrEqual(12);
      expect(to).toBeGreaterThanOrEqual(8);
    }
  });

  test("what is foreseen to gain most gains in the adjustment, and stands up by as much", () => {
    const truth = raised(8, 12, 0.06);
    const plain = fitted(truth);
    const { scatters, posterior } = topPoint(plain);
    const standings = standingsOf(plain.layout, plain.equations, posterior);
    if (standings === undefined) throw new RangeError("expected standings");
    const runs = [{ from: 7, to: 11 }, { from: 6, to: 11 }, { from: 7, to: 12 }, { from: 7, to: 10 }, { from: 8, to: 11 }, { from: 1, to: 4 }, { from: 14, to: 18 }];
    const foreseen = zoneGains(standings, scatters.seatingMm, runs.map(({ from, to }) => Float64Array.from(standings.stations, (_, at) => (at >= from && at <= to ? 1 : 0))), ZONE);
    const gained = runs.map((run) => logEvidenceOf(fitted(truth, { ...run, of: "frets" }).grid) - logEvidenceOf(plain.grid));
    const most = (gains: readonly number[]): number => gains.indexOf(Math.max(...gains));
    expect([most(foreseen.map(({ gain }) => gain)), most(gained)]).toEqual([0, 0]);
    expect(Math.abs((foreseen[0]?.heightMm ?? NaN) - 0.06)).toBeLessThan(0.01);
  });

  test.each([["board", 0.06], ["frets", 0]] as const)("where the wood was read what the %s would gain is foreseen too", (of, upOfBoardMm) => {
    const truth = raised(8, 12, 0.06);
    const wood = woodSweep((fret) => bowed(0.2)("centre", fret) + upOfBoardMm * (fret >= 8 && fret <= 12 ? 1 : 0));
    const plain = fitted(truth, undefined, [wood]);
    const { scatters, posterior } = topPoint(plain);
    const standings = standingsOf(plain.layout, plain.equations, posterior);
    if (standings === undefined) throw new RangeError("expected standings");
    const [from, to] = [plain.layout.stations.findIndex(({ fret }) => fret === 8), plain.layout.stations.findIndex(({ fret }) => fret === 12)];
    const zones = (["frets", "board"] as const).map((reason): Zone => ({ from, to, of: reason }));
    const foreseen = zoneGains(standings, scatters.seatingMm, zones.map((zone) => raiseOf(plain.layout, standings, zone)), ZONE).map(({ gain }) => gain);
    const gained = zones.map((zone) => logEvidenceOf(fitted(truth, zone, [wood]).grid) - logEvidenceOf(plain.grid));
    const [right, wrong] = of === "board" ? [1, 0] : [0, 1];
    for (const gains of [foreseen, gained]) expect(gains[right]).toBeGreaterThan((gains[wrong] ?? NaN) + 3);
    expect(foreseen[right]).toBeGreaterThan(3);
    expect(suspectedZones(plain).some((zone) => zone.from === from && zone.to === to)).toBe(true);
  });
});

describe("the gain of a zone", () => {
  const scatters = { roughnessMm: 0.012, seatingMm: 0.008 };
  const classes = fretClasses(1, [], scatters);
  const size = 4;

  test("is that of all kinds of all frets tried, the zone's height an unknown of its own (seed 41)", () => {
    const found = Array.from({ length: 12 }, (_, number) => {
      const stream = inventedStream(41, "zone gains", number);
      const uniform = (): number => stream.uniform(-1, 1);
      const root = new Matrix(Array.from({ length: size }, (_unused, i) => Array.from({ length: size }, (_again, j) => (i === j ? 120 : 25) * uniform())));
      const precision = root.mmul(root.transpose()).add(Matrix.eye(size).mul(400));
      const at = Matrix.columnVector(Array.from({ length: size }, (_unused, i) => 0.05 * uniform() + (i < 3 ? 0.06 : 0)));
      const shift = precision.mmul(at).to1DArray();
      const standings = { stations: [0, 1, 2, 3], wood: [], precision: Float64Array.from(precision.to1DArray()), shift: Float64Array.from(shift) };
      const [screened] = zoneGains(standings, scatters.seatingMm, [Float64Array.of(1, 1, 1, 0)], ZONE);
      return { screened: screened?.gain ?? NaN, tried: best(precision, shift, true) - best(precision, shift, false) };
    });
    expect(found.filter(({ screened, tried }) => Math.abs(screened - tried) < 1e-6).length).toBeGreaterThanOrEqual(11);
  });

  /** Largest probability over all kinds of all frets; frets 0 to 2 may stand on a zone. */
  function best(precision: Matrix, shift: readonly number[], zoned: boolean): number {
    const kinds = Array.from({ length: classes.length ** size }, (_, code) => Array.from({ length: size }, (_unused, fret) => Math.floor(code / classes.length ** fret) % classes.length));
    return Math.max(...kinds.map((kind) => logProbability(precision, shift, kind, zoned)));
  }

  /** Readings see deviation and zone; the unknowns are the deviations and the zone's height. */
  function logProbability(precision: Matrix, shift: readonly number[], kind: readonly number[], zoned: boolean): number {
    const seen = Matrix.zeros(size, size + 1);
    for (let i = 0; i < size; i++) {
      seen.set(i, i, 1);
      seen.set(i, size, zoned && i < 3 ? 1 : 0);
    }
    const total = seen.transpose().mmul(precision).mmul(seen);
    const pull = seen.transpose().mmul(Matrix.columnVector([...shift])).to1DArray();
    let log = 0;
    for (const [fret, at] of [...kind, -1].entries()) {
      const one = at < 0 ? { mean: [ZONE.meanMm], precision: [1 / ZONE.sdMm ** 2], weight: 1 } : classes[at];
      const [mean, known] = [one?.mean[0] ?? NaN, one?.precision[0] ?? NaN];
      total.set(fret, fret, total.get(fret, fret) + known);
      pull[fret] = (pull[fret] ?? NaN) + known * mean;
      log += Math.log(one?.weight ?? NaN) + 0.5 * (Math.log(known) - known * mean * mean);
    }
    const right = Matrix.columnVector(pull);
    return log + 0.5 * (right.dot(solve(total, right)) - Math.log(determinant(total)));
  }
});
