import { describe, expect, test } from "vitest";
import { bowGrid, deflection, effectOf, heightAt } from "neck-survey";
import { stringStraining } from "../../src/bow/cases/strings.js";
import { boxNeck, boxState } from "./boxNeck.js";
import { printed, published } from "./printed.js";

/*
 * Prismatic beams: J. M. Gere and B. J. Goodno, Mechanics of Materials, App. G (standard, from memory). Varying I: T. H. G. Megson, Structural and Stress
 * Analysis, example 13.14, printed 0.19 W L^3/(E I0), exact ln 2 - 1/2. Linear taper: own closed form (Roark's Table 8.11 has the same cases), values by quadrature.
 * Beam-column: Gere, section 11.5, problem 1, printed 0.112 in.
 */

/** Tip deflection of a cantilever clamped at its left end, from its curvature. */
function tipOf(lengthMm: number, curvature: (x: number) => number, stepMm = lengthMm / 60): number {
  const grid = bowGrid([0, lengthMm], stepMm);
  return deflection(grid, { curvaturePerMm: grid.pointMm.map(curvature), kinkRad: new Float64Array(grid.nodeMm.length) }).at(-1) ?? Number.NaN;
}

const L = 700;
const EI = 3e8;

describe("beam closed forms", () => {
  test("prismatic: end moment, end load, even load", () => {
    published(tipOf(L, () => 1000 / EI), (1000 * L ** 2) / (2 * EI), 1e-12);
    published(tipOf(L, (x) => (10 * (L - x)) / EI), (10 * L ** 3) / (3 * EI), 1e-12);
    published(tipOf(L, (x) => (0.1 * (L - x) ** 2) / (2 * EI)), (0.1 * L ** 4) / (8 * EI), 1e-12);
    expect(() => published(tipOf(L, () => 1000.01 / EI), (1000 * L ** 2) / (2 * EI), 1e-12)).toThrow(); // control
  });

  test("stiffness that doubles from tip to root (Megson)", () => {
    // clamped at x = 0 with 2 I0, tip at x = 1
    const tip = tipOf(1, (x) => (1 - x) / (2 - x));
    printed(tip, "0.19", 0);
    published(tip, Math.log(2) - 0.5, 1e-9);
    expect(() => published(tipOf(1, (x) => (1 - x) / (2.001 - x)), Math.log(2) - 0.5, 1e-9)).toThrow(); // control
  });

  test.each([[1.25, "0.20118728", "0.32000000"], [1.5, "0.13260975", "0.22222222"], [2, "0.06814718", "0.12500000"], [3, "0.02621542", "0.05555556"]])("depth that runs from 1 at the tip to %s at the root", (ratio, load, moment) => {
    const depth = (x: number): number => ratio + (1 - ratio) * x;
    printed(tipOf(1, (x) => (1 - x) / depth(x) ** 3), load);
    printed(tipOf(1, (x) => 1 / depth(x) ** 3), moment);
    expect(() => printed(tipOf(1, (x) => 1.0001 / depth(x) ** 3), moment)).toThrow(); // control
  });

  /** A beam of one depth with the string beside it at an even distance, anchored at both its ends. */
  const column = (scaleMm: number, frets: number, sizeMm: number, widthMm: number, modulusMPa: number, pullN: number, eccentricityMm: number, order: "first" | "second" = "second"): number => {
    const anchorMm = scaleMm * (1 - 2 ** (-frets / 12));
    const neck = boxNeck({ boardMm: sizeMm / 4, totalMm: [sizeMm, sizeMm], widthMm: [widthMm, widthMm], scaleMm, frets });
    const zMm = sizeMm / 4 - sizeMm / 2 + eccentricityMm;
    const state = boxState(neck, { moduli: { boardMPa: modulusMPa, neckMPa: modulusMPa }, held: "free", pull: { tensionN: pullN, zNutMm: zMm, zSaddleMm: zMm, saddleMm: anchorMm } }, { boardStiffness: 1, neckStiffness: 1, stringHeightMm: 0, stringTension: 1 });
    const effect = effectOf("column", state.setup.grid, stringStraining(state, undefined, order), state.setup.boardSpan);
    return -heightAt(effect.profile, anchorMm / 2);
  };

  test("a beam-column with its load off its axis (Gere, 11.5, problem 1)", () => {
    const IN = 25.4;
    const sagMm = column((30 * IN) / 0.875, 36, IN, 2 * IN, 1e7 * 0.006894757293168, 2800 * 4.4482216152605, 0.5 * IN);
    printed(sagMm / IN, "0.112");
    expect(() => printed(column((30 * IN) / 0.875, 36, IN, 2 * IN, 1e7 * 0.006894757293168, 2800 * 4.4482216152605, 0.5 * IN, "first") / IN, "0.112")).toThrow(); // control: without second order
  });

  test.each([0.05, 0.1, 0.2])("the secant formula at %s of the buckling load", (share) => {
    const length = 500;
    const ei = (12_000 * 45 * 20 ** 3) / 12;
    const sag = column(length / 0.75, 24, 20, 45, 12_000, (share * Math.PI ** 2 * ei) / length ** 2, 10);
    const secant = 10 * (1 / Math.cos((Math.PI / 2) * Math.sqrt(share)) - 1);
    published(sag, secant, 3e-4 * secant); // read straight between two nodes of the grid
    expect(() => published(sag * 1.001, secant, 3e-4 * secant)).toThrow(); // control
  });
});
