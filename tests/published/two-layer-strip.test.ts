import { describe, expect, test } from "vitest";
import { bowGrid, deflection } from "neck-survey";
import { eigenstrained } from "../../src/bow/cases/eigenstrain.js";
import { stackStiffness } from "../../src/bow/section/stack.js";
import { rectangle } from "../../src/bow/section/shapes.js";
import { boxNeck, boxState } from "./boxNeck.js";
import { printed, published } from "./printed.js";

/*
 * S. Timoshenko, Analysis of Bi-Metal Thermostats, J. Opt. Soc. Am. 11 (1925) 233: two layers bonded without slip that want to be of unlike lengths.
 * The bow model bends by the same law when board and neck take up moisture unlike. Printed tips and sags: B. A. Boley and J. H. Weiner, Theory of
 * Thermal Stresses, as the reference of finite-element verification manuals (0.90 in); a published verification page for the equal-modulus cantilever
 * (5.625 mm); finite-element verification case VM35 (0.750 in, numbers from memory).
 */

/** The general formula of 1925 (from memory), as printed there: 1/rho = 6 (a2 - a1) dT (1 + m)^2 / (h (3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n)))). */
function timoshenko(strain: number, topMm: number, underMm: number, topMPa: number, underMPa: number): number {
  const m = topMm / underMm;
  const n = topMPa / underMPa;
  return (6 * strain * (1 + m) ** 2) / ((topMm + underMm) * (3 * (1 + m) ** 2 + (1 + m * n) * (m ** 2 + 1 / (m * n))));
}

/** Curvature of the bow model where the top layer wants to be longer by `strain`; toward back bow is below 0. */
function curvature(strain: number, topMm: number, underMm: number, topMPa: number, underMPa: number): number {
  const neck = boxNeck({ boardMm: topMm, totalMm: [topMm + underMm, topMm + underMm], widthMm: [40, 40], scaleMm: 600, frets: 22 });
  const state = boxState(neck, { moduli: { boardMPa: topMPa, neckMPa: underMPa }, held: "free" });
  return eigenstrained(state, strain / state.unknowns.boardStiffness, 0).curvaturePerMm[7] ?? Number.NaN;
}

/** Tip of a cantilever that bends evenly, by the bow model's integration. */
function tip(perMm: number, lengthMm: number): number {
  const grid = bowGrid([0, lengthMm], lengthMm / 20);
  return deflection(grid, { curvaturePerMm: new Float64Array(grid.pointMm.length).fill(perMm), kinkRad: new Float64Array(grid.nodeMm.length) }).at(-1) ?? Number.NaN;
}

const IN = 25.4;
const PSI = 0.006894757293168;

describe("Timoshenko's two-layer strip", () => {
  test.each([[6, 15, 14_000, 12_600], [1, 1, 200_000, 200_000], [2, 17, 9_000, 16_000], [14, 8, 20_000, 8_000]])("board %s mm on %s mm, %s on %s MPa", (top, under, topMPa, underMPa) => {
    const expected = -timoshenko(1e-3, top, under, topMPa, underMPa);
    published(curvature(1e-3, top, under, topMPa, underMPa), expected, 1e-7 * Math.abs(expected));
    expect(() => published(curvature(1e-3, top, under, 1.01 * topMPa, underMPa), expected, 1e-7 * Math.abs(expected))).toThrow(); // control
  });

  test("a bimetal beam sags 0.90 in, a cantilever's tip rises 0.750 in and 5.625 mm", () => {
    const sag = (tip(-curvature(1.2e-5 * 400, 0.05 * IN, 0.05 * IN, 1e7 * PSI, 1e7 * PSI), 10 * IN) / 4) / IN;
    printed(sag, "0.90");
    printed(tip(-curvature(1e-5 * 100, 0.05 * IN, 0.05 * IN, 3e7 * PSI, 3e7 * PSI), 10 * IN) / IN, "0.750");
    // the page's 300 mm deep, 3 m long strip, at a twentieth of its size and the same strain
    printed(20 * tip(-curvature(5e-6 * 50, 7.5, 7.5, 1e5, 1e5), 150), "5.625");
    expect(() => printed(1.01 * sag, "0.90")).toThrow(); // control
  });

  test("three layers with bars' stiffness between agree with the layered sum of Hsueh, Lee and Chuang, J. Appl. Mech. 70 (2003) 151 (own example, same result)", () => {
    const layers = [{ modulusMPa: 200_000, from: 0, to: 1, strain: 0 }, { modulusMPa: 11_000, from: 1, to: 20, strain: 1e-4 }, { modulusMPa: 12_300, from: 20, to: 26, strain: 3e-4 }];
    const parts = layers.map(({ modulusMPa, from, to, strain }) => ({ modulusMPa, strain, ...rectangle(1, from, to) }));
    const { zbarMm, eiNmm2 } = stackStiffness(parts);
    const perM = (1000 * parts.reduce((sum, part) => sum + part.modulusMPa * part.areaMm2 * part.strain * (part.centroidMm - zbarMm), 0)) / eiNmm2;
    published(zbarMm / 1000, 0.008268227009113505, 1e-15);
    published(perM, 0.010456791515600798, 1e-14);
    expect(() => published(perM * 1.0001, 0.010456791515600798, 1e-14)).toThrow(); // control
  });
});
