import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { StringPull } from "../../../src/bow/cases/stringPull.js";
import { bowModel } from "../../../src/bow/model/bowModel.js";
import { openingReliefs } from "../../../src/bow/openings.js";
import { stringLoad, type StringLoad } from "../../../src/bow/strings/stringLoad.js";
import { stringTension } from "../../../src/bow/strings/tension.js";
import { readNeck } from "../../../src/neck/neckFile.js";
import type { Neck } from "../../../src/neck/neck.js";
import { valueOrThrow } from "../../../src/units/problem.js";

const LIGHT = [
  { gauge: "0.046 in", wound: true }, { gauge: "0.036 in", wound: true }, { gauge: "0.026 in", wound: true },
  { gauge: "0.017 in" }, { gauge: "0.013 in" }, { gauge: "0.010 in" },
];

function neckWith(more: object): Neck {
  return valueOrThrow(readNeck({ name: "n", scaleLength: "25.5 in", frets: 22, ...more }), "the neck");
}

function pullOf({ pull }: StringLoad): StringPull {
  if (pull === undefined) throw new RangeError("expected a pull");
  return pull;
}

describe("stringLoad", () => {
  test("a light set of six in common tuning pulls 370 to 460 N (common practice, no source)", () => {
    const load = stringLoad(neckWith({ strings: { each: LIGHT } }));
    expect(pullOf(load).tensionN).toBeGreaterThan(370);
    expect(pullOf(load).tensionN).toBeLessThan(490);
    expect(load.each).toHaveLength(6);
    expect(load.assumed.join("; ")).toMatch(/core not given.*E2 A2 D3 G3 B3 E4.*string height at the nut/);
    expect(load.assumed.filter((one) => one.includes("material not given"))).toEqual(["strings 1, 2, 3, 4, 5 and 6: material not given, taken as steel"]);
  });

  test("the line of action is that of the strings one by one, weighted by tension: same pull, same moment at every place", () => {
    const load = stringLoad(neckWith({ strings: { each: LIGHT, heightAtNut: 0.4, heightAtLastFret: { bass: 2.4, treble: 1.6 } }, thicknesses: { board: 6 }, crown: { height: 1.1 } }));
    fc.assert(fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (along) => {
      const moment = load.each.reduce((sum, one) => sum + one.tensionN * (one.zNutMm + (one.zSaddleMm - one.zNutMm) * along), 0);
      expect(pullOf(load).tensionN * (pullOf(load).zNutMm + (pullOf(load).zSaddleMm - pullOf(load).zNutMm) * along)).toBeCloseTo(moment, 6);
    }), { seed: 7, verbose: true });
    expect(load.heightUMm).toBe(0.1);
  });

  test("over the glue line at the nut stands board, crown, string height and half a string, less the fall of the radius", () => {
    const flat = stringLoad(neckWith({ fingerboardRadius: "flat", strings: { each: [{ gauge: 1, tensionN: 70 }], heightAtNut: 0.5, heightAtLastFret: { bass: 2, treble: 2 } }, thicknesses: { board: 6 }, crown: { height: 1 } }));
    expect(pullOf(flat).zNutMm).toBeCloseTo(6 + 1 + 0.5 + 0.5, 12);
    const endMm = 647.7 * (1 - 2 ** (-22 / 12));
    expect(pullOf(flat).zSaddleMm).toBeCloseTo(8 + (1.5 * 647.7) / endMm, 9);
  });

  test("strings that were not given are a wide guess and say so", () => {
    const load = stringLoad(neckWith({}));
    expect(load).toMatchObject({ pull: { tensionN: 420 }, shareU: 0.25, each: [] });
    expect(load.assumed[0]).toContain("strings: not given");
  });

  test("seven strings without pitch are refused, with what to add", () => {
    expect(() => stringLoad(neckWith({ strings: { each: Array.from({ length: 7 }, () => ({ gauge: 0.5 })) } }))).toThrow(/tension of string 1: it has neither pitch nor tension \(add "note"/);
  });

  test("a stated tension stands, whatever else is stated", () => {
    expect(stringTension({ gaugeMm: 1, wound: false, note: "E2", tensionN: 71 }, 650, "string 1").tensionN).toBe(71);
  });

  test("tension goes as the square of scale, pitch and plain gauge", () => {
    fc.assert(fc.property(fc.double({ min: 0.2, max: 0.6, noNaN: true }), fc.double({ min: 1.01, max: 2, noNaN: true }), (gaugeMm, factor) => {
      const base = stringTension({ gaugeMm, wound: false, frequencyHz: 220 }, 600, "s").tensionN;
      expect(stringTension({ gaugeMm: gaugeMm * factor, wound: false, frequencyHz: 220 }, 600, "s").tensionN / base).toBeCloseTo(factor ** 2, 9);
      expect(stringTension({ gaugeMm, wound: false, frequencyHz: 220 * factor }, 600, "s").tensionN / base).toBeCloseTo(factor ** 2, 9);
      expect(stringTension({ gaugeMm, wound: false, frequencyHz: 220 }, 600 * factor, "s").tensionN / base).toBeCloseTo(factor ** 2, 9);
    }), { seed: 8, verbose: true });
  });

  test("a wound string weighs less than a plain one as thick, and more than its core", () => {
    const [plain, wound] = [false, true].map((isWound) => stringTension({ gaugeMm: 0.9, coreMm: 0.4, wound: isWound, material: "steel", frequencyHz: 110 }, 648, "s").tensionN);
    expect(wound).toBeLessThan(plain ?? 0);
    expect(wound).toBeGreaterThan(stringTension({ gaugeMm: 0.4, wound: false, frequencyHz: 110 }, 648, "s").tensionN);
    expect(() => stringTension({ gaugeMm: 0.4, coreMm: 0.5, wound: true, frequencyHz: 110 }, 648, "s")).toThrow("a core thinner than that");
  });
});

describe("a scale over 30 in", () => {
  const NOT_KNOWN = /^Cannot tell what strings do to "n": not known: give the strings in the neck file/;

  test("takes no set of six for strings that were not given, and says so where strings are asked about", () => {
    const bass = neckWith({ scaleLength: "34 in", bodyJoint: 16 });
    const load = stringLoad(bass);
    expect(load.pull).toBeUndefined();
    expect(load.assumed).toEqual([expect.stringContaining("no usual set is taken")]);
    const model = bowModel(bass);
    expect(() => model.strings()).toThrow(NOT_KNOWN);
    expect(() => model.sequence({ frets: "before glue-up", strings: true })).toThrow(NOT_KNOWN);
    expect(() => openingReliefs(model, { frets: "before glue-up" }, [0], [0])).toThrow(NOT_KNOWN);
    expect(model.sequence({ frets: "before glue-up" }).final.stage).toBe("glue-up");
    expect(stringLoad(neckWith({ scaleLength: 760 })).pull).toMatchObject({ tensionN: 420 });
  });

  test("works with the strings that were given, and takes no pitches of a guitar for six of them", () => {
    const four = ["E1", "A1", "D2", "G2"].map((note, at) => ({ gauge: `${[0.105, 0.085, 0.065, 0.045][at] ?? 0} in`, wound: true, material: "nickel", note }));
    expect(pullOf(stringLoad(neckWith({ scaleLength: "34 in", strings: { each: four } }))).tensionN).toBeGreaterThan(600);
    expect(() => stringLoad(neckWith({ scaleLength: "34 in", strings: { each: LIGHT } }))).toThrow(/neither pitch nor tension/);
  });
});
