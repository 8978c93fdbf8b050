import { describe, expect, test } from "vitest";
import { stackStiffness } from "neck-survey";
import { rectangle } from "../../src/bow/section/shapes.js";
import { printed } from "./printed.js";

/*
 * Transformed sections of wood and steel with printed answers. First: a published exercise with an answer table (timber 140 x 400 mm under a steel plate
 * 200 x 8 mm, 30 kN m). Others: R. C. Hibbeler, Mechanics of Materials, composite beams (wood with a steel strap), and J. M. Gere, Mechanics of Materials, ch. 6,
 * first example; their printed values are from memory.
 */

type Layer = { readonly modulusMPa: number; readonly widthMm: number; readonly from: number; readonly to: number };

function bent(layers: readonly Layer[], momentNmm: number): { readonly axis: number; readonly stress: (layer: number, z: number) => number; readonly ei: number } {
  const { zbarMm, eiNmm2 } = stackStiffness(layers.map(({ modulusMPa, widthMm, from, to }) => ({ modulusMPa, ...rectangle(widthMm, from, to) })));
  return { axis: zbarMm, ei: eiNmm2, stress: (layer, z) => ((layers[layer]?.modulusMPa ?? 0) * momentNmm * (z - zbarMm)) / eiNmm2 };
}

describe("composite sections of wood and steel", () => {
  test("timber under a steel plate", () => {
    const beam = bent([{ modulusMPa: 12_500, widthMm: 140, from: 0, to: 400 }, { modulusMPa: 200_000, widthMm: 200, from: 400, to: 408 }], 30e6);
    printed(beam.stress(0, 400), "2.76");
    printed(-beam.stress(0, 0), "5.36");
    printed(beam.stress(1, 408), "46.8");
    expect(() => printed(beam.stress(0, 399), "2.76")).toThrow(); // control: the same wood one mm lower
  });

  test("wood with a steel strap (Hibbeler)", () => {
    const beam = bent([{ modulusMPa: 200_000, widthMm: 150, from: 0, to: 20 }, { modulusMPa: 12_000, widthMm: 150, from: 20, to: 170 }], 2e6);
    printed(beam.axis, "36.38");
    printed(beam.ei / 200_000 / 1e6, "9.358");
    printed(-beam.stress(0, 0), "7.78", 0.001); // 7.775 exactly between two printed digits
    printed(beam.stress(1, 170), "1.71");
    expect(() => printed(beam.axis + 0.01, "36.38")).toThrow(); // control
  });

  test("wood beam on a steel plate (Gere), in pounds and inches", () => {
    const beam = bent([{ modulusMPa: 30e6, widthMm: 4, from: 0, to: 0.5 }, { modulusMPa: 1.5e6, widthMm: 4, from: 0.5, to: 6.5 }], 60_000);
    printed(6.5 - beam.axis, "5.031", 0.001);
    printed(beam.axis, "1.469");
    printed(-beam.stress(0, 0), "7620", 5);
    printed(beam.stress(1, 6.5), "1310", 5);
    expect(() => printed(beam.axis * 1.001, "1.469")).toThrow(); // control
  });
});
