import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { judgedStance, stanceOf } from "../../src/frets/fretClass.js";
import type { ReadLine } from "../../src/frets/fretClass.js";

const THREE: readonly ReadLine[] = [{ line: "bass", isEnd: true }, { line: "centre", isEnd: false }, { line: "treble", isEnd: true }];
const LIMIT = 0.03;
const SEED = 613;

describe("the class of a fret from its heights on the lines", () => {
  test.each([
    [[0, 0.029, 0], "as intended", []],
    [[0.05, 0.06, 0.05], "high", ["bass", "centre", "treble"]],
    [[0, 0.01, 0.07], "lifted at one end", ["treble"]],
    [[0.08, 0.05, 0.01], "lifted at one end", ["bass", "centre"]],
    [[0.06, 0, 0.05], "crown not following the radius", ["bass", "treble"]],
    [[0, 0.06, 0.01], "crown not following the radius", ["centre"]],
    [[-0.05, -0.04, -0.05], "low", ["bass", "centre", "treble"]],
    [[-0.06, 0, 0], "low", ["bass"]],
    [[0.01, -0.06, 0], "crown not following the radius", ["centre"]],
  ] as const)("%j is %s", (heights, name, off) => {
    expect(stanceOf(heights, THREE, LIMIT)).toEqual({ class: name, off });
  });

  test("with one line read, or only one end, no more is claimed than was seen", () => {
    expect(stanceOf([0.05], THREE.slice(1, 2), LIMIT).class).toBe("high");
    expect(stanceOf([0, 0.05], THREE.slice(1), LIMIT)).toEqual({ class: "lifted at one end", off: ["treble"] });
    expect(stanceOf([0.05, 0], THREE.slice(1), LIMIT)).toEqual({ class: "high", off: ["centre"] });
  });

  test(`does not depend on which side is read first, nor on the scale (seed ${SEED})`, () => {
    const height = fc.double({ min: -0.2, max: 0.2, noNaN: true });
    fc.assert(fc.property(fc.tuple(height, height, height), fc.double({ min: 0.01, max: 100, noNaN: true }), (heights, scale) => {
      const here = stanceOf(heights, THREE, LIMIT);
      const mirrored = stanceOf([...heights].reverse(), THREE, LIMIT);
      expect(mirrored.class).toBe(here.class);
      expect(stanceOf(heights.map((mm) => scale * mm), THREE, scale * LIMIT).class).toBe(here.class);
    }), { seed: SEED });
  });
});

test("joint draws: as intended unless most draws are off, then the commonest class; shares add up to one", () => {
  const whole = [0.06, 0.06, 0.06];
  const lifted = [0, 0.01, 0.06];
  const level = [0, 0, 0];
  const judged = judgedStance([whole, lifted, lifted, level], THREE, LIMIT);
  expect(judged).toMatchObject({ class: "lifted at one end", off: ["treble"], over: 0.75 });
  expect(Object.values(judged.shares).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
  expect(judgedStance([whole, lifted, level, level], THREE, LIMIT)).toMatchObject({ class: "as intended", off: [], over: 0.5 });
});
