import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { backShape, boardShape, geometryAlong, neckSizes, readNeck, sectionsAlong, stackStiffness, valueOrThrow } from "neck-survey";
import { back, rectangle } from "../../src/bow/section/shapes.js";
import { plainNeck, SEED } from "./necks.js";

const size = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

describe("the section of a neck", () => {
  test("sawing a layer in two changes nothing", () => {
    fc.assert(fc.property(size(0.05, 0.95), size(1000, 200_000), size(1, 60), size(0.5, 30), size(-20, 20), (cut, modulusMPa, width, height, from) => {
      const whole = stackStiffness([{ modulusMPa, ...rectangle(width, from, from + height) }]);
      const sawn = stackStiffness([{ modulusMPa, ...rectangle(width, from, from + cut * height) }, { modulusMPa, ...rectangle(width, from + cut * height, from + height) }]);
      expect(Math.abs(sawn.eiNmm2 / whole.eiNmm2 - 1)).toBeLessThan(1e-10);
      expect(Math.abs(sawn.eaN / whole.eaN - 1)).toBeLessThan(1e-12);
    }), { seed: SEED });
  });

  test("moving the line that heights are counted from moves the axis and leaves EI", () => {
    fc.assert(fc.property(size(-50, 50), size(2000, 30_000), size(2000, 30_000), (up, top, under) => {
      const at = (z: number) => stackStiffness([{ modulusMPa: top, ...rectangle(50, z, z + 6) }, { modulusMPa: under, ...rectangle(45, z - 15, z) }]);
      expect(at(up).zbarMm - at(0).zbarMm).toBeCloseTo(up, 9);
      expect(Math.abs(at(up).eiNmm2 / at(0).eiNmm2 - 1)).toBeLessThan(1e-10);
    }), { seed: SEED });
  });

  test("a very boxy back is a rectangle, and a huge radius a flat board", () => {
    const boxy = back(backShape(1e6), 40, 15);
    const box = rectangle(40, -15, 0);
    expect(Math.abs(boxy.areaMm2 / box.areaMm2 - 1)).toBeLessThan(1e-5);
    expect(Math.abs(boxy.ownMm4 / box.ownMm4 - 1)).toBeLessThan(1e-4);
    const huge = boardShape(50, 6, 1e7);
    const flat = boardShape(50, 6, Infinity);
    expect(Math.abs(huge.ownMm4 / flat.ownMm4 - 1)).toBeLessThan(1e-4);
  });

  test("board and neck glued together are what the stack of their parts is, bars and channel too", () => {
    const neck = valueOrThrow(readNeck({
      name: "barred", scaleLength: 648, frets: 22, bodyJoint: 16, thicknesses: { board: 6, total: { "1": 20, "12": 23 } }, backShape: 2.3,
      bars: [{ width: 3, height: 8, depth: 5, modulusMPa: 120_000, from: 5, to: 400, count: 2 }], rod: { works: "both ways", from: 10, to: 420, channelWidth: 6, channelDepth: 10 },
    }), "neck");
    const xMm = Float64Array.from([200]);
    const geometry = geometryAlong(neck, xMm);
    const { composite } = sectionsAlong(geometry, { boardMPa: 15_000, neckMPa: 11_000 });
    const width = geometry.widthMm[0] ?? 0;
    const depth = geometry.depthMm[0] ?? 0;
    const barAt = rectangle(6, -9, -1);
    const voided = (shape: ReturnType<typeof rectangle>) => ({ areaMm2: -shape.areaMm2, centroidMm: shape.centroidMm, ownMm4: -shape.ownMm4 });
    const stack = stackStiffness([
      { modulusMPa: 15_000, ...boardShape(width, 6, 304.8) },
      { modulusMPa: 11_000, ...back(backShape(2.3), width, depth) },
      { modulusMPa: 11_000, ...voided(rectangle(6, -10, 0)) },
      { modulusMPa: 11_000, ...voided(barAt) },
      { modulusMPa: 120_000, ...barAt },
    ]);
    expect(Math.abs((composite.eiNmm2[0] ?? 0) / stack.eiNmm2 - 1)).toBeLessThan(1e-10);
    expect(composite.zbarMm[0]).toBeCloseTo(stack.zbarMm, 9);
    expect(Math.abs((composite.eaN[0] ?? 0) / stack.eaN - 1)).toBeLessThan(1e-12);
  });

  test("a common neck is about as stiff as such necks are", () => {
    // 2.5e8 to 3.5e8 N mm2: common practice for 43 to 55 mm by 20 mm with a half-ellipse back, no source
    const twenty = plainNeck({ backShape: 2, thicknesses: { board: 6, total: 20 } });
    const { composite } = sectionsAlong(geometryAlong(twenty, Float64Array.from([0, 460])), { boardMPa: 13_000, neckMPa: 12_500 });
    for (const ei of composite.eiNmm2) {
      expect(ei).toBeGreaterThan(2.3e8);
      expect(ei).toBeLessThan(3.7e8);
    }
  });

  test("what was not given is listed, what was given is not", () => {
    const bare = valueOrThrow(readNeck({ name: "bare", scaleLength: 648, frets: 22 }), "neck");
    expect(neckSizes(bare).assumed.join("\n")).toMatch(/thickness of the board.*thickness of neck and board.*neck's back.*body joint.*rod channel/s);
    expect(neckSizes(plainNeck()).assumed).toEqual([]);
  });

  test("impossible sections are refused with what to check", () => {
    expect(() => boardShape(60, 1, 100)).toThrow(/edges would have -3.*fingerboardRadius/);
    expect(() => backShape(0.5)).toThrow(/exponent of 1/);
    expect(() => stackStiffness([])).toThrow(/EA = 0/);
    const thin = valueOrThrow(readNeck({ name: "thin", scaleLength: 648, frets: 22, thicknesses: { board: 9, total: 8.5 } }), "neck");
    expect(() => geometryAlong(thin, Float64Array.from([100]))).toThrow(/100 mm from the nut.*thicknesses/);
    const deep = valueOrThrow(readNeck({ name: "deep", scaleLength: 648, frets: 22, thicknesses: { board: 6, total: 14 }, rod: { channelDepth: 10 } }), "neck");
    expect(() => geometryAlong(deep, Float64Array.from([100]))).toThrow(/channel 10 mm deep.*rod.channelDepth/);
  });
});
