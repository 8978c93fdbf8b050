import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bowModel, bowState, drawWork, effectOf, prepareBow, prepareWork, reliefAfter, sumOfEffects, unknownsAt, type BowState, type BowUnknowns, type Neck, type OrderOfWork } from "neck-survey";
import { eigenstrained } from "../../src/bow/cases/eigenstrain.js";
import { rodStraining } from "../../src/bow/cases/rod.js";
import { stringStraining } from "../../src/bow/cases/strings.js";
import { freeBoard, gluedBoard, pressedAfter } from "../../src/bow/cases/tangCases.js";
import { plainNeck, SEED } from "./necks.js";

const all: OrderOfWork = { frets: "before glue-up", clamp: { kind: "caul", shareOfBoardBow: 0.3 }, rodTurns: 0.4, strings: true, season: true, years: true, extras: [{ named: "wet glue", boardStrain: 2e-5, neckStrain: 0 }] };
const moved = (z: number): fc.Arbitrary<number[]> => fc.array(fc.double({ min: -z, max: z, noNaN: true }), { minLength: 13, maxLength: 13 });
const season = { from: { humidityPercent: 55, celsius: 20 }, to: { humidityPercent: 35, celsius: 20 } };

function stateOf(neck: Neck, over: Partial<BowUnknowns> = {}, stepMm?: number): BowState {
  const { setup, belief } = bowModel(neck, { season });
  const finer = stepMm === undefined ? setup : prepareBow(neck, { ...setup, stepMm });
  return bowState(finer, { ...unknownsAt(belief.priors), ...over });
}

const causes: readonly [string, (state: BowState) => ReturnType<typeof freeBoard>][] = [
  ["free board", (state) => freeBoard(state)], ["glued", (state) => gluedBoard(state)], ["pressed after", (state) => pressedAfter(state)],
  ["rod", (state) => rodStraining(state, 0.5)], ["strings", (state) => stringStraining(state)], ["moisture", (state) => eigenstrained(state, 1e-4, -2e-5)],
];

describe("laws of the bow model", () => {
  test.each(causes)("halving the step changes the relief by %s by less than a millionth", (_, strain) => {
    for (const neck of [plainNeck(), plainNeck({ thicknesses: { board: { nut: 5, lastFret: 7 }, total: { "1": 19, "7": 20, "12": 24 } }, rod: { works: "one way", from: 13.3, to: 377, depth: 10 } })]) {
      const at = (stepMm: number): number => {
        const state = stateOf(neck, {}, stepMm);
        return effectOf("x", state.setup.grid, strain(state), state.setup.span).reliefMm;
      };
      expect(at(8)).not.toBe(0);
      expect(Math.abs(at(4) / at(8) - 1)).toBeLessThan(1e-6);
    }
  });

  test.each(causes)("curvature, kinks, profile and relief of %s add", (_, strain) => {
    const state = stateOf(plainNeck());
    const { grid, span } = state.setup;
    const [one, other] = [effectOf("one", grid, strain(state), span), effectOf("other", grid, rodStraining(state, 0.3), span)];
    const sum = sumOfEffects("both", grid, [one, other]);
    expect(sum.reliefMm).toBeCloseTo(one.reliefMm + other.reliefMm, 12);
    sum.profile.vMm.forEach((v, index) => expect(v).toBeCloseTo((one.profile.vMm[index] ?? 0) + (other.profile.vMm[index] ?? 0), 11));
    expect(sum.axialStrain[9]).toBeCloseTo((one.axialStrain[9] ?? 0) + (other.axialStrain[9] ?? 0), 15);
  });

  test("the quick relief of a draw is the relief of the integrated profile, and a sequence ends at the sum of its causes", () => {
    const { setup, belief } = bowModel(plainNeck(), { season });
    const prepared = prepareWork(setup, all);
    fc.assert(fc.property(moved(1.5), (z) => {
      const unknowns = unknownsAt(belief.priors, z);
      const reliefs = drawWork(prepared, unknowns);
      prepared.causes.forEach((cause, index) => {
        const straining = prepared.strainings[index];
        if (straining === undefined) throw new Error("a cause without straining");
        expect(reliefs[index]).toBeCloseTo(effectOf("x", setup.grid, straining, cause.on === "board" ? setup.boardSpan : setup.span).reliefMm, 10);
      });
      const sum = reliefs.reduce((total, value, index) => total + (prepared.causes[index]?.on === "neck" ? value : 0), 0);
      expect(reliefAfter(prepared, unknowns)).toBeCloseTo(sum, 12);
    }), { seed: SEED, numRuns: 25 });
  });

  test("draws leave nothing behind: the same unknowns give the same reliefs whatever was drawn before", () => {
    const { setup, belief } = bowModel(plainNeck(), { season });
    const prepared = prepareWork(setup, all);
    const fresh = (unknowns: BowUnknowns): number[] => [...drawWork(prepareWork(setup, all), unknowns)];
    fc.assert(fc.property(moved(1.5), moved(1.5), (a, b) => {
      drawWork(prepared, unknownsAt(belief.priors, a));
      expect([...drawWork(prepared, unknownsAt(belief.priors, b))]).toEqual(fresh(unknownsAt(belief.priors, b)));
      expect([...drawWork(prepared, unknownsAt(belief.priors, b))]).toEqual(fresh(unknownsAt(belief.priors, b)));
    }), { seed: SEED, numRuns: 20 });
  });

  test.each(["one way", "both ways"] as const)("the work done by the nut of a rod that works %s is the energy stored in neck, slots and rod", (works) => {
    const neck = plainNeck({ rod: { works, from: 10, to: 420, depth: 9, spacing: 6, lead: 0.8, channelWidth: 6, channelDepth: 12 } });
    fc.assert(fc.property(moved(1.5), (z) => {
      const { setup, belief } = bowModel(neck, { held: "free" });
      const state = bowState(setup, { ...unknownsAt(belief.priors, z), rodResponse: 1, rodDeadZoneTurns: 0 });
      const straining = rodStraining(state, 1);
      const { grid, slotNode, rod } = setup;
      if (rod === undefined) throw new Error("no rod");
      const { composite } = state.sections;
      const force = works === "one way" ? -(straining.axialStrain[20] ?? 0) * (composite.eaN[20] ?? 0) : -((straining.curvaturePerMm[20] ?? 0) * (composite.eiNmm2[20] ?? 0)) / rod.spacingMm;
      let energy = 0;
      for (let point = 0; point < grid.pointMm.length; point++) {
        const half = ((grid.nodeMm[(point >> 1) + 1] ?? 0) - (grid.nodeMm[point >> 1] ?? 0)) / 2;
        energy += (half / 2) * ((composite.eiNmm2[point] ?? 0) * (straining.curvaturePerMm[point] ?? 0) ** 2 + (composite.eaN[point] ?? 0) * (straining.axialStrain[point] ?? 0) ** 2);
      }
      slotNode.forEach((node, slot) => {
        const perNmm = state.tang.yieldPerNmm[slot] ?? 0;
        energy += (straining.kinkRad[node] ?? 0) ** 2 / perNmm / 2;
      });
      energy += ((works === "one way" ? 1 : 2) * force ** 2 * (rod.toMm - rod.fromMm)) / rod.memberN / 2;
      expect(energy / ((force * rod.leadMmPerTurn) / 2)).toBeCloseTo(1, 9);
    }), { seed: SEED, numRuns: 25 });
  });

  test("what one turn does to the neck under strings is what it does without", () => {
    const { setup, belief } = bowModel(plainNeck());
    const at = (rodTurns: number, strings: boolean): number => reliefAfter(prepareWork(setup, { frets: "before glue-up", rodTurns, strings }), unknownsAt(belief.priors));
    expect(at(0.5, true) - at(0, true)).toBeCloseTo(at(0.5, false) - at(0, false), 12);
  });

  test("signs: tangs, tightening and a damp board toward back bow, strings toward forward bow", () => {
    fc.assert(fc.property(moved(1), (z) => {
      const { setup, belief } = bowModel(plainNeck());
      const state = bowState(setup, { ...unknownsAt(belief.priors, z), interferenceMm: 0.03, rodDeadZoneTurns: 0 });
      const relief = (strain: (typeof causes)[number][1]): number => effectOf("x", setup.grid, strain(state), setup.span).reliefMm;
      expect(relief(freeBoard)).toBeLessThan(0);
      expect(relief(gluedBoard)).toBeLessThan(0);
      expect(relief(pressedAfter)).toBeLessThan(relief(gluedBoard));
      expect(relief((at) => rodStraining(at, 0.25))).toBeLessThan(0);
      expect(relief((at) => rodStraining(at, -0.25))).toBeGreaterThan(0);
      expect(relief(stringStraining)).toBeGreaterThan(0);
      expect(relief((at) => eigenstrained(at, 1e-4, 0))).toBeLessThan(0);
    }), { seed: SEED, numRuns: 25 });
  });

  test("slots that press on nothing leave a neck where it was", () => {
    const state = stateOf(plainNeck(), { interferenceMm: -0.02 });
    for (const strain of [freeBoard, gluedBoard, pressedAfter]) expect(effectOf("x", state.setup.grid, strain(state), state.setup.span).reliefMm).toBeCloseTo(0, 15);
  });

  test("the board's mid-plane lengthens by what its slots were opened", () => {
    const state = stateOf(plainNeck());
    const { grid } = state.setup;
    const straining = freeBoard(state);
    const length = straining.axialStrain.reduce((sum, strain, point) => sum + (strain * ((grid.nodeMm[(point >> 1) + 1] ?? 0) - (grid.nodeMm[point >> 1] ?? 0))) / 2, 0);
    expect(length).toBeCloseTo(state.tang.freeStretchMm.reduce((sum, value) => sum + value, 0), 12);
  });
});
