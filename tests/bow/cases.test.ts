import { describe, expect, test } from "vitest";
import { bowModel, bowState, effectOf, stackStiffness, unknownsAt, type BowState, type Straining } from "neck-survey";
import { eigenstrained } from "../../src/bow/cases/eigenstrain.js";
import { rodStraining } from "../../src/bow/cases/rod.js";
import { stringStraining } from "../../src/bow/cases/strings.js";
import { rectangle } from "../../src/bow/section/shapes.js";
import { boxNeck, boxState } from "../published/boxNeck.js";
import { plainNeck } from "./necks.js";

const size = { boardMm: 6, totalMm: [22, 22] as const, widthMm: [50, 50] as const, scaleMm: 648, frets: 22, joint: 16 };
const fret = (n: number): number => 648 * (1 - 2 ** (-n / 12));
/** What a bar of even section does: EI, EA and elastic axis of the box. */
const bar = stackStiffness([{ modulusMPa: 14_000, ...rectangle(50, 0, 6) }, { modulusMPa: 12_000, ...rectangle(50, -16, 0) }]);
const moduli = { boardMPa: 14_000, neckMPa: 12_000 };
const exact = { boardStiffness: 1, neckStiffness: 1, rodResponse: 1, rodDeadZoneTurns: 0 };

const relief = (state: BowState, straining: Straining): number => effectOf("x", state.setup.grid, straining, state.setup.span).reliefMm;
/** Relief at the middle fret of an even curvature between two places within the span, by hand: the integral of the triangle under the chord. */
function byHand(perMm: number, from: number, to: number): number {
  const [x0, x1, xm] = [fret(1), fret(16), fret(7)];
  const area = (x: number): number => (x <= xm ? ((x - x0) ** 2 * (x1 - xm)) / (2 * (x1 - x0)) : ((xm - x0) * (x1 - xm)) / 2 - ((x1 - x) ** 2 * (xm - x0)) / (2 * (x1 - x0)));
  return perMm * (area(Math.min(x1, to)) - area(Math.max(x0, from)));
}

describe("the rod", () => {
  const rod = { fromMm: 60, toMm: 350, depthMm: 12, spacingMm: 6, leadMmPerTurn: 0.8 };
  const memberN = 200_000 * (Math.PI / 4) * 25;

  test("one that works both ways bends by M = d / (s L/EI + (L/s)(2/EA)), between its ends only", () => {
    const neck = { ...boxNeck(size), rod: { ...rod, works: "both ways" as const, channelWidthMm: 0, channelDepthMm: 0 } };
    const state = boxState(neck, { moduli }, exact);
    const L = rod.toMm - rod.fromMm;
    const moment = (0.5 * rod.leadMmPerTurn) / ((rod.spacingMm * L) / bar.eiNmm2 + (L / rod.spacingMm) * (2 / memberN));
    expect(relief(state, rodStraining(state, 0.5))).toBeCloseTo(byHand(-moment / bar.eiNmm2, rod.fromMm, rod.toMm), 9);
    expect(relief(state, rodStraining(state, -0.5))).toBeCloseTo(byHand(moment / bar.eiNmm2, rod.fromMm, rod.toMm), 9);
  });

  test("one that works one way pulls by P = d / (L/EA_rod + L/EA + (zbar - z_r)^2 L/EI)", () => {
    const neck = { ...boxNeck(size), rod: { ...rod, works: "one way" as const, channelWidthMm: 0, channelDepthMm: 0 } };
    const state = boxState(neck, { moduli }, exact);
    const L = rod.toMm - rod.fromMm;
    const arm = bar.zbarMm + rod.depthMm;
    const pull = rod.leadMmPerTurn / (L / memberN + L / bar.eaN + (arm ** 2 * L) / bar.eiNmm2);
    const straining = rodStraining(state, 1);
    expect(relief(state, straining)).toBeCloseTo(byHand((-pull * arm) / bar.eiNmm2, rod.fromMm, rod.toMm), 9);
    expect(Math.min(...straining.axialStrain)).toBeCloseTo(-pull / bar.eaN, 12);
  });

  test("a one-way rod above the neck's axis would bend it forward, as its geometry says", () => {
    const state = boxState({ ...boxNeck(size), rod: { ...rod, depthMm: 1, works: "one way" as const, channelWidthMm: 0, channelDepthMm: 0 } }, { moduli }, exact);
    expect(bar.zbarMm).toBeLessThan(-1);
    expect(relief(state, rodStraining(state, 1))).toBeGreaterThan(0);
  });

  test("nothing moves within the dead zone, and the response scales what moves", () => {
    const { setup, belief } = bowModel(plainNeck());
    const at = (over: object): BowState => bowState(setup, { ...unknownsAt(belief.priors), ...over });
    expect(relief(at({}), rodStraining(at({ rodDeadZoneTurns: 0.3 }), 0.3))).toBeCloseTo(0, 15);
    const whole = relief(at({}), rodStraining(at({ rodDeadZoneTurns: 0, rodResponse: 1 }), 0.5));
    expect(relief(at({}), rodStraining(at({ rodDeadZoneTurns: 0.1, rodResponse: 0.5 }), 0.6))).toBeCloseTo(whole / 2, 12);
  });
});

describe("slots that yield", () => {
  test("a fretted neck is softer than uncut wood and stiffer than one without the slotted layer, with tangs or without", () => {
    const pull = { tensionN: 450, zNutMm: 8, zSaddleMm: 18, saddleMm: 648 };
    const strung = (state: BowState): number => relief(state, stringStraining(state, undefined, "first"));
    const neck = boxNeck(size);
    const uncut = strung(boxState(neck, { moduli, pull }, { ...exact, stringTension: 1, stringHeightMm: 0 }));
    const tangs = strung(boxState(neck, { moduli, pull }, { ...exact, stringTension: 1, stringHeightMm: 0, contactStiffnessNmm3: 1000 }));
    const empty = strung(boxState(neck, { moduli, pull }, { ...exact, stringTension: 1, stringHeightMm: 0, contactStiffnessNmm3: 1e-6 }));
    // the same neck with its board planed down to the slots' bottom: the strings keep their height over the glue line
    const planed = strung(boxState(boxNeck({ ...size, boardMm: 3, totalMm: [19, 19] }), { moduli, pull }, { ...exact, stringTension: 1, stringHeightMm: 0 }));
    expect(tangs).toBeGreaterThan(1.02 * uncut);
    expect(empty).toBeGreaterThan(1.02 * tangs);
    expect(planed).toBeGreaterThan(empty);
  });

  test("moisture bends a fretted neck a little less than uncut wood; alike in board and neck it bends neither, and no slot moves", () => {
    const state = (contactStiffnessNmm3: number): BowState => boxState(boxNeck(size), { moduli }, { ...exact, contactStiffnessNmm3 });
    const share = relief(state(1000), eigenstrained(state(1000), 1e-4, 0)) / relief(state(Infinity), eigenstrained(state(Infinity), 1e-4, 0));
    expect(share).toBeGreaterThan(0.6);
    expect(share).toBeLessThan(0.99);
    const alike = eigenstrained(state(1000), 1e-4, 1e-4);
    for (const kink of alike.kinkRad) expect(Math.abs(kink)).toBeLessThan(1e-18);
    expect(Math.abs(relief(state(1000), alike))).toBeLessThan(1e-12);
    for (const strain of alike.axialStrain) expect(strain).toBeCloseTo(1e-4, 15);
  });

  test("tangs cut back at their ends press less, and on nothing they cannot press", () => {
    const free = (cutBack: number): number => bowModel(plainNeck({ tangs: { thickness: 0.59, contactDepth: 2.4, cutBack } })).tangPressure().reliefMm;
    expect(free(2)).toBeGreaterThan(free(0));
    expect(free(2) / free(0)).toBeGreaterThan(0.9);
    expect(free(0)).toBeLessThan(0);
  });

  test("slots outside the study's range are said to be so; impossible ones are refused", () => {
    expect(bowModel(plainNeck()).assumed.join("\n")).not.toMatch(/study/);
    expect(bowModel(plainNeck({ slots: { width: 0.56, depth: 3.6 }, tangs: { thickness: 0.59, contactDepth: 2 } })).assumed.join("\n")).toMatch(/covers only slots between 0\.25 and 0\.58 .*, tangs that bear on 0\.6 .*guess/);
    expect(() => bowModel(plainNeck({ slots: { width: 0.56, depth: 6 } }))).toThrow(/slots\.depth/);
    expect(() => bowModel(plainNeck({ tangs: { cutBack: 15 }, widths: { nut: 28, lastFret: 40 } }))).toThrow(/tangs\.cutBack/);
    expect(() => bowModel(plainNeck({ thicknesses: { board: 7, total: 9.5 }, rod: { works: "none" } }))).toThrow(/no more than the slot is deep/);
  });
});

describe("strings", () => {
  test("a pull under which the neck would give way is refused", () => {
    const state = boxState(boxNeck(size), { moduli, pull: { tensionN: 60_000, zNutMm: 8, zSaddleMm: 18, saddleMm: 648 } });
    expect(() => stringStraining(state)).toThrow(/\d{5} N: the neck would give way/);
  });

  test("on a free neck the strings' anchor must stand on the board", () => {
    expect(() => bowModel(plainNeck(), { held: "free" }).strings()).toThrow(/anchor stands at a fret/);
  });
});
