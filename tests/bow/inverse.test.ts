import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bowModel, interferenceBehind, middleUnknowns, normalMm, openingFor, prepareBow, prepareWork, reliefAfter, rodTurnsFor, stiffnessFor, type OrderOfWork } from "neck-survey";
import { crossing } from "../../src/bow/inverse/crossing.js";
import { plainNeck, SEED } from "./necks.js";

const model = bowModel(plainNeck());
const strung: OrderOfWork = { frets: "after glue-up", strings: true };
const middle = middleUnknowns(model.belief);

describe("the inverse questions", () => {
  test("a crossing is found wherever the function takes the value, and told apart where it does not", () => {
    fc.assert(fc.property(fc.double({ min: -2, max: 2, noNaN: true }), fc.double({ min: 0.1, max: 9, noNaN: true }), (at, steep) => {
      const found = crossing((x) => Math.sinh(steep * (x - at)) + x, at, -3, 3, 1e-10);
      if (found.status !== "found") throw new Error("not found");
      expect(found.at).toBeCloseTo(at, 8);
    }), { seed: SEED });
    expect(crossing((x) => x, 5, 0, 1, 1e-9)).toEqual({ status: "outside", atLow: 0, atHigh: 1 });
    expect(crossing((x) => x, 0, 0, 1, 1e-9)).toEqual({ status: "found", at: 0 });
  });

  test("the slot width that it names leaves the relief that was asked for", () => {
    const answer = openingFor(model, strung, 0.05);
    if (answer.status !== "found") throw new Error(answer.why);
    expect(reliefAfter(prepareWork(model.setup, strung), { ...middle, interferenceMm: answer.interferenceMm.value })).toBeCloseTo(0.05, 4);
    expect(answer.slotWidthMm?.value).toBeCloseTo(0.59 - answer.interferenceMm.value, 12);
    expect(answer.openingMm).toBeLessThan(answer.interferenceMm.value);
    expect(answer.describe()).toMatch(/^For 0\.05 mm .*forward bow \(middle low\) at fret 7: slots 0\.5\d to 0\.5\d mm \(.* thou\) wide for tangs of 0\.59 mm/);
  });

  test("a relief that no slot leaves is refused with the reason", () => {
    const high = openingFor(model, strung, 2);
    expect(high.status).toBe("not reachable");
    expect(high.describe()).toMatch(/even slots that press on nothing leave .*pressing only moves the neck toward back bow \(middle high\)/);
    expect(openingFor(model, { frets: "before glue-up", strings: true }, -2).describe()).toMatch(/the wood crushes before it pushes harder/);
    expect(() => openingFor(model, strung, Number.NaN)).toThrow(/relief of NaN mm/);
  });

  test("the rod's turns leave the relief that was asked for, the dead zone included", () => {
    for (const target of [0, 0.1, 0.6]) {
      const answer = rodTurnsFor(model, { frets: "before glue-up", strings: true }, target);
      if (answer.status !== "found") throw new Error(answer.why);
      expect(reliefAfter(prepareWork(model.setup, { frets: "before glue-up", strings: true, rodTurns: answer.turns.value }), middle)).toBeCloseTo(target, 9);
      expect(answer.describe()).toMatch(/quarter turn a step/);
    }
  });

  test("a rod that works one way cannot cure back bow, and it is said so", () => {
    const oneWay = bowModel(plainNeck({ rod: { works: "one way", from: 10, to: 420, depth: 10, channelWidth: 6, channelDepth: 12 } }));
    const answer = rodTurnsFor(oneWay, { frets: "before glue-up", strings: true }, 1);
    expect(answer.status).toBe("not reachable");
    expect(answer.describe()).toMatch(/with the rod slack .* works one way can only push toward back bow \(middle high\)/);
    expect(rodTurnsFor(bowModel(plainNeck({ rod: { works: "none" } })), strung, 0).describe()).toMatch(/give rod\.works/);
    expect(rodTurnsFor(model, strung, 9).describe()).toMatch(/more than 2 turns/);
  });

  test("a neck as stiff, or as thick, as it says has the relief that was asked for", () => {
    const bent: OrderOfWork = { frets: "before glue-up", strings: true };
    const target = reliefAfter(prepareWork(model.setup, bent), { ...middle, neckStiffness: 1.3 });
    const answer = stiffnessFor(model, bent, target);
    if (answer.status !== "found") throw new Error(answer.why);
    expect(answer.factor.value).toBeCloseTo(1.3, 3);
    const total = model.setup.sizes.total.map((size) => ({ ...size, mm: size.mm + (answer.thickerMm ?? Number.NaN) }));
    const thicker = prepareBow({ ...model.setup.neck, thickness: { board: model.setup.sizes.board, total } }, model.setup);
    expect(reliefAfter(prepareWork(thicker, bent), middle)).toBeCloseTo(target, 3);
    expect(answer.thickerMm).toBeGreaterThan(0.3);
    expect(stiffnessFor(model, bent, -2).describe()).toMatch(/Stiffness alone does not give 2\.00 mm/);
  });

  test("a free board's bow leads back to the interference that made it", () => {
    fc.assert(fc.property(fc.double({ min: 0.005, max: 0.08, noNaN: true }), (interferenceMm) => {
      const bow = reliefAfter(prepareWork(model.setup, { frets: "before glue-up" }), { ...middle, interferenceMm }, "fretted board");
      const answer = interferenceBehind(model, normalMm(bow, 0.05));
      if (answer.status !== "found") throw new Error(answer.why);
      expect(answer.interferenceMm.value).toBeCloseTo(interferenceMm, 6);
      expect(answer.interferenceMm.low95).toBeLessThan(interferenceMm);
      expect(answer.interferenceMm.high95).toBeGreaterThan(interferenceMm);
    }), { seed: SEED, numRuns: 5 });
  });

  test("the opening behind a bow hardly depends on how hard the tangs bear, the interference does", () => {
    const soft = interferenceBehind(bowModel(plainNeck(), { belief: { ...model.belief, mean: model.belief.mean.map((z, index) => (index === 3 ? z - 1.5 : z)) } }), normalMm(-4, 0.05));
    const hard = interferenceBehind(bowModel(plainNeck(), { belief: { ...model.belief, mean: model.belief.mean.map((z, index) => (index === 3 ? z + 1.5 : z)) } }), normalMm(-4, 0.05));
    if (soft.status !== "found" || hard.status !== "found") throw new Error("not found");
    expect(soft.openingMm / hard.openingMm).toBeGreaterThan(0.94);
    expect(soft.openingMm / hard.openingMm).toBeLessThan(1.06);
    expect(soft.interferenceMm.value / hard.interferenceMm.value).toBeGreaterThan(1.5);
  });

  test("a forward bow, or one that no tang makes, is refused", () => {
    expect(interferenceBehind(model, normalMm(0.8, 0.1)).describe()).toMatch(/tangs only ever bow a board back \(middle high\)/);
    expect(interferenceBehind(model, normalMm(-400, 1)).describe()).toMatch(/the wood crushes first/);
    expect(() => interferenceBehind(model, { ...normalMm(0, 1), value: Number.NaN })).toThrow(/finite/);
  });
});
