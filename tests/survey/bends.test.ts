import { describe, expect, test } from "vitest";
import { adjust } from "neck-survey";
import { bendsOf } from "../../src/survey/model/bends.js";
import { NECK, bowed, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const [FIRST, LAST] = [place(1).xMm, place(22).xMm];

/** Forward bow with an S-shape, both zero at frets 1 and 22. */
function sShaped(bowMm: number, sMm: number): Truth {
  return (line, fret) => {
    const t = (place(fret).xMm - FIRST) / (LAST - FIRST);
    return bowed(bowMm)(line, fret) - 6 * Math.sqrt(3) * sMm * t * (1 - t) * (1 - 2 * t);
  };
}

describe("the long bends of a neck", () => {
  test("have no height at the ends of what was surveyed, and the bow is 1 mm low in the middle", () => {
    const bends = bendsOf(30, 450, 370);
    expect(bends.map(({ name }) => name)).toEqual(["bow", "S-shape", "one and a half waves", "hinge at the body joint", "tongue"]);
    for (const { heightAt } of bends) for (const xMm of [30, 450]) expect(heightAt(xMm)).toBeCloseTo(0, 12);
    expect(bends[0].heightAt(240)).toBe(-1);
  });

  test("the hinge stands by 1 mm over the chord of 100 mm to each side, the tongue's end 1 mm under the line before the joint", () => {
    const [hinge, tongue] = bendsOf(30, 450, 330).slice(3);
    if (hinge === undefined || tongue === undefined) throw new RangeError("expected bends at the joint");
    expect(hinge.heightAt(330) - (hinge.heightAt(230) + hinge.heightAt(430)) / 2).toBeCloseTo(1, 12);
    const slope = (tongue.heightAt(330) - tongue.heightAt(230)) / 100;
    expect(tongue.heightAt(450) - (tongue.heightAt(330) + 120 * slope)).toBeCloseTo(-1, 12);
  });

  test("begin at a body joint only where enough was read on both sides of it", () => {
    expect(bendsOf(30, 450)).toHaveLength(3);
    expect(bendsOf(30, 400, 370)).toHaveLength(3);
    expect(bendsOf(330, 450, 370)).toHaveLength(3);
  });

  test("are less on a shorter stretch: an S-shape by the third power of its length", () => {
    const sd = (lengthMm: number): number => bendsOf(0, lengthMm)[1]?.sdMm ?? NaN;
    expect(sd(210) / sd(420)).toBeCloseTo(1 / 8, 12);
    expect(sd(900)).toBe(sd(420));
  });

  test.each([-0.06, 0.06])("an S-shape of %f mm does not bend the relief toward what a rough line would believe", (sMm) => {
    const truth = sShaped(0.18, sMm);
    const survey = adjust(NECK, sheet(NECK.lines.map((line) => sweep(truth, line))));
    for (const fret of [4, 7, 10, 14, 18]) {
      const t = (place(fret).xMm - FIRST) / (LAST - FIRST);
      const found = survey.linear([{ of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: 1 }, { of: "neckLine", line: "centre", xMm: FIRST, weight: t - 1 }, { of: "neckLine", line: "centre", xMm: LAST, weight: -t }]);
      expect(Math.abs(found.value - truth("centre", fret))).toBeLessThan(found.u);
    }
    expect(survey.spreads.roughness.valueMm).toBeLessThan(0.02);
  });
});
