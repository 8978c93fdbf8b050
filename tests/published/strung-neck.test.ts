import { describe, expect, test } from "vitest";
import { effectOf, type BowUnknowns } from "neck-survey";
import { stringStraining } from "../../src/bow/cases/strings.js";
import { boxNeck, boxState, type Box } from "./boxNeck.js";
import { published } from "./printed.js";

/*
 * An independent solution of the strung neck: EI v'' = T (z_s - zbar + v(0) (1 - x/S) - v(x)), v = v' = 0 at the body joint, by Runge-Kutta of order four
 * from the joint to the nut with sections worked out here from plain rectangles, and shooting for v(0). Not a published value; it shares no code with the model.
 */

const box: Box = { boardMm: 6, totalMm: [19, 25], widthMm: [43, 56], scaleMm: 648, frets: 22, joint: 16 };
const moduli = { boardMPa: 15_000, neckMPa: 11_500 };
const pull = { tensionN: 460, zNutMm: 8.2, zSaddleMm: 21, saddleMm: 648 };
const given: Partial<BowUnknowns> = { boardStiffness: 1, neckStiffness: 1, stringTension: 1, stringHeightMm: 0 };
const fret = (n: number): number => box.scaleMm * (1 - 2 ** (-n / 12));

/** EI and elastic axis of the box at x, from rectangles. */
function sectionAt(x: number): { readonly ei: number; readonly zbar: number } {
  const t = x / fret(box.frets);
  const width = box.widthMm[0] + (box.widthMm[1] - box.widthMm[0]) * t;
  const depth = box.totalMm[0] + (box.totalMm[1] - box.totalMm[0]) * t - box.boardMm;
  const [a, b] = [moduli.boardMPa * box.boardMm * width, moduli.neckMPa * depth * width];
  const zbar = (a * box.boardMm - b * depth) / 2 / (a + b);
  const ei = (a * box.boardMm ** 2 + b * depth ** 2) / 12 + a * (box.boardMm / 2 - zbar) ** 2 + b * (depth / 2 + zbar) ** 2;
  return { ei, zbar };
}

type Kink = { readonly xMm: number; readonly perNmm: number; readonly perN: number };

/** v from the joint down to the nut for a stated rise of the nut end; kinks where slots yield. */
function shot(riseMm: number, jointMm: number, kinks: readonly Kink[], at: readonly number[]): { readonly nut: number; readonly v: Map<number, number> } {
  const arm = (x: number, v: number): number => pull.zNutMm + ((pull.zSaddleMm - pull.zNutMm) * x) / pull.saddleMm - sectionAt(x).zbar + riseMm * (1 - x / pull.saddleMm) - v;
  const curvature = (x: number, v: number): number => (pull.tensionN * arm(x, v)) / sectionAt(x).ei;
  const stops = [...new Set([0, jointMm, ...kinks.map(({ xMm }) => xMm), ...at])].filter((x) => x >= 0 && x <= jointMm).sort((a, b) => b - a);
  let [v, slope] = [0, 0];
  const found = new Map([[jointMm, 0]]);
  for (const [index, from] of stops.entries()) {
    const to = stops[index + 1];
    if (to === undefined) break;
    const steps = 40;
    const h = (to - from) / steps;
    for (let step = 0; step < steps; step++) {
      const x = from + h * step;
      const k1 = curvature(x, v);
      const k2 = curvature(x + h / 2, v + (h / 2) * slope);
      const k3 = curvature(x + h / 2, v + (h / 2) * slope + (h * h * k1) / 4);
      const k4 = curvature(x + h, v + h * slope + (h * h * k2) / 2);
      v += h * slope + ((h * h) / 6) * (k1 + k2 + k3);
      slope += (h / 6) * (k1 + 2 * k2 + 2 * k3 + k4);
    }
    found.set(to, v);
    const kink = kinks.find(({ xMm }) => xMm === to);
    if (kink !== undefined) slope -= pull.tensionN * (kink.perNmm * arm(to, v) + kink.perN); // toward the nut a forward kink lowers dv/dx
  }
  return { nut: v, v: found };
}

/** Relief at the middle fret over the chord from fret 1 to the joint. */
function independentRelief(kinks: readonly Kink[], middle: number): number {
  const jointMm = fret(16);
  const places = [fret(1), fret(middle)];
  const none = shot(0, jointMm, kinks, places);
  const one = shot(1, jointMm, kinks, places);
  const rise = none.nut / (1 - (one.nut - none.nut)); // the nut's rise is linear in the rise that was put in
  const { v } = shot(rise, jointMm, kinks, places);
  const [v1, vm] = [v.get(fret(1)) ?? Number.NaN, v.get(fret(middle)) ?? Number.NaN];
  return v1 * ((jointMm - fret(middle)) / (jointMm - fret(1))) - vm;
}

describe("the strung neck against an independent solution", () => {
  const neck = boxNeck(box);

  test("a neck whose slots do not yield", () => {
    const state = boxState(neck, { moduli, pull }, given);
    const { reliefMm, span } = effectOf("strings", state.setup.grid, stringStraining(state), state.setup.span);
    const expected = independentRelief([], span.middleFret);
    expect(expected).toBeGreaterThan(0.1);
    published(reliefMm, expected, 1e-7 * expected);
    const firstOrder = effectOf("strings", state.setup.grid, stringStraining(state, undefined, "first"), state.setup.span).reliefMm;
    expect(firstOrder).toBeLessThan(expected);
    expect(() => published(firstOrder, expected, 1e-3 * expected)).toThrow(); // control: without second order
  });

  test("a fretted neck whose slots yield", () => {
    const state = boxState(neck, { moduli, pull }, { ...given, contactStiffnessNmm3: 1000 });
    const kinks = Array.from(state.setup.atSlots.xMm, (xMm, slot) => ({ xMm, perNmm: state.tang.yieldPerNmm[slot] ?? 0, perN: state.tang.yieldPerN[slot] ?? 0 })).filter(({ xMm }) => xMm < fret(16) - 1e-6);
    const { reliefMm, span } = effectOf("strings", state.setup.grid, stringStraining(state), state.setup.span);
    const expected = independentRelief(kinks, span.middleFret);
    expect(expected).toBeGreaterThan(1.05 * independentRelief([], span.middleFret));
    published(reliefMm, expected, 1e-7 * expected);
    expect(() => published(reliefMm, independentRelief(kinks.slice(1), span.middleFret), 1e-7 * expected)).toThrow(); // control: one slot forgotten
  });
});
