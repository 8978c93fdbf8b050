import { beforeAll, describe, expect, test } from "vitest";
import { benchSteps } from "../../../src/advice/levelPlan/benchSteps.js";
import { bearsFirstWords } from "../../../src/advice/levelPlan/firstTouched.js";
import { carriedOut, guidesOf, inkLine } from "../../../src/advice/levelPlan/carriedOut.js";
import { crownHeights } from "../../../src/advice/levelPlan/crowns.js";
import { fallAwayAt, tapeFor } from "../../../src/advice/levelPlan/fallAway.js";
import { levelling, type Levelling } from "../../../src/advice/levelPlan/levelling.js";
import { levelPlan, type LevelPlan } from "../../../src/advice/levelPlan/levelPlan.js";
import { evenRelief, profileRelief } from "../../../src/advice/levelPlan/reliefShape.js";
import { sufficiency, type Sufficiency } from "../../../src/advice/levelPlan/sufficiency.js";
import { stopRule } from "../../../src/advice/levelPlan/stopRule.js";
import { workingSteps } from "../../../src/advice/levelPlan/workingSteps.js";
import { rodRange } from "../../../src/advice/levelPlan/rodRange.js";
import { fretDistanceMm } from "../../../src/neck/frets.js";
import type { SurveySheet } from "../../../src/readings/reading.js";
import { usualTool } from "../../../src/readings/tools.js";
import type { Survey } from "../../../src/survey/survey.js";
import type { Measured } from "../../../src/units/measured.js";
import { loadSolver } from "../../../src/notebook/solver.js";
import { inventedNeckFile, inventedSurvey, inventedSurveyOf } from "./surveyed.js";

let survey: Survey;
let posed: Levelling;
let plan: LevelPlan;
let sure: Sufficiency;
/** The same neck with nothing to seat: a plan that is told to its end. */
let home: { readonly posed: Levelling; readonly plan: LevelPlan; readonly sure: Sufficiency };
beforeAll(async () => {
  survey = inventedSurvey();
  const found = levelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 } });
  if (found.status !== "posed") throw new Error(found.describe());
  posed = found;
  const made = levelPlan(posed.problem, await loadSolver());
  if (made.status !== "planned") throw new Error(made.describe());
  plan = made;
  sure = sufficiency(posed, plan, 200);
  const homePosed = levelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 }, mayBeSeated: [] });
  if (homePosed.status !== "posed") throw new Error(homePosed.describe());
  const homePlan = levelPlan(homePosed.problem, await loadSolver());
  if (homePlan.status !== "planned") throw new Error(homePlan.describe());
  home = { posed: homePosed, plan: homePlan, sure: sufficiency(homePosed, homePlan, 200) };
}, 120_000);

/** Crowns as a gauge reads them, on some frets of one line. */
function gauged(mm: number, frets: readonly number[]): SurveySheet {
  const readings = frets.map((fret) => ({ line: "centre", place: { label: String(fret), xMm: fretDistanceMm(647.7, fret), fret }, gap: { kind: "exact", gapMm: mm, uMm: 0.01 } as const, written: String(mm), origin: { source: "crowns", row: fret, column: "centre" } }));
  return { ...survey.sheet, settings: [{ label: "the crown gauge, centre", tool: usualTool("crownGauge"), surface: "fretTops", path: { kind: "along", line: "centre" }, readings }] };
}

describe("a levelling posed from a survey", () => {
  test("covers every fret top between the first and the last reading of each line, and reseats only high frets", () => {
    expect(posed.problem.tops).toHaveLength(66);
    expect([...new Set(posed.problem.tops.filter(({ dropMm = 0 }) => dropMm > 0).map(({ fret }) => fret))]).toEqual([9, 14, 19]);
    expect(posed.problem.datum).toBe("each line its own");
    expect(plan.reseat).toEqual([9, 14, 19]);
  });

  test("frets to look at are seated without a cap unless the neck file states one, and frets to level never", () => {
    const capped = levelling({ ...survey, neck: inventedNeckFile({ limits: { reseatMax: 2 } }) });
    expect([posed.problem.reseatMax, capped.status === "posed" ? capped.problem.reseatMax : NaN]).toEqual([3, 2]);
    expect([posed.notes.join(" "), capped.status === "posed" ? capped.notes.join(" ") : "at most"]).not.toContain("at most");
    const atHome = inventedSurvey(inventedNeckFile(), {}, "surface: underCrown\nfret treble\n19 0\n");
    const looked = levelling(atHome);
    expect(looked.status === "posed" ? [...new Set(looked.problem.tops.filter(({ dropMm = 0 }) => dropMm > 0).map(({ fret }) => fret))] : []).toEqual([9, 14]);
  });

  test("a straight beam sees the radius along an outer line a little high in its middle, a radiused block does not", () => {
    const block = levelling(survey, { beam: "radiused" });
    if (block.status !== "posed") throw new Error(block.describe());
    const middle = (of: Levelling, line: string): number => {
      const on = of.problem.tops.filter((top) => top.line === line);
      const [first, last] = [on[0], on.at(-1)];
      const at = on[9];
      if (first === undefined || last === undefined || at === undefined) return NaN;
      return at.heightMm - first.heightMm - ((last.heightMm - first.heightMm) * (at.xMm - first.xMm)) / (last.xMm - first.xMm);
    };
    expect(middle(posed, "bass") - middle(block, "bass")).toBeGreaterThan(0.005);
    expect(middle(posed, "bass") - middle(block, "bass")).toBeLessThan(0.05);
    expect(middle(posed, "centre") - middle(block, "centre")).toBeCloseTo(0, 9);
  });

  test("without a rod test the rod stays; a rod that works one way from neutral only goes toward back bow", () => {
    const still = levelling(survey);
    expect(still.status === "posed" ? [still.problem.rod, still.notes.join(" ")] : []).toEqual([{ lowMm: 0, highMm: 0 }, expect.stringContaining("No rod test was given")]);
    const oneWay = levelling({ ...survey, neck: inventedNeckFile({ rod: { works: "one way" } }) }, { rod: { lowMm: -0.2, highMm: 0.2 } });
    expect(oneWay.status === "posed" ? oneWay.problem.rod : undefined).toEqual({ lowMm: -0.2, highMm: 0 });
  });

  test("a range that no rod has was meant in another unit", () => {
    expect(() => rodRange({ lowMm: -12, highMm: 4 })).toThrow("no rod gives more than 1.5 mm either way (was thou meant?");
    expect(rodRange({ lowMm: -1.5, highMm: 1.5 })).toEqual({ lowMm: -1.5, highMm: 1.5 });
  });

  test("of a rod test no more counts than was tried, with the low end of what a turn moves", () => {
    const measured = (value: number, u: number): Measured => ({ value, u, unit: "mm", low95: value - 2 * u, high95: value + 2 * u });
    const range = rodRange({ towardBackBow: { status: "works", probability: 1, perTurn: measured(0.5, 0.05) }, towardForwardBow: { status: "not sure", probability: 0.6 }, triedTurns: { towardBackBow: 0.75, towardForwardBow: 0.5 }, deadTurns: measured(0.25, 0.05) });
    // by hand: 0.4 mm a turn at least, over half a turn past the dead zone
    expect(range.lowMm).toBeCloseTo(-0.2, 12);
    expect(range.highMm).toBe(0);
  });

  test("a nut that stands turned has only what is left of the test, and may be let go", () => {
    const measured = (value: number, u: number): Measured => ({ value, u, unit: "mm", low95: value - 2 * u, high95: value + 2 * u });
    const tested = { towardBackBow: { status: "works", probability: 1, perTurn: measured(0.5, 0.05) }, towardForwardBow: { status: "works", probability: 1, perTurn: measured(0.4, 0.1) }, triedTurns: { towardBackBow: 0.75, towardForwardBow: 0.5 }, deadTurns: measured(0.25, 0.05) } as const;
    const from = (rod: string, works: "both ways" | "one way" = "both ways"): readonly (number | undefined)[] => {
      const found = levelling({ ...survey, neck: inventedNeckFile({ rod: { works, moreRelief: "anticlockwise" } }), sheet: { ...survey.sheet, state: { rod, strings: "off" } } }, { rod: tested });
      return found.status === "posed" ? [found.problem.rod.lowMm, found.problem.rod.highMm].map((mm) => Math.round(1e6 * mm) / 1e6 + 0) : [];
    };
    // by hand: at least 0.4 mm a turn toward back bow and 0.2 toward forward bow, past a quarter turn: 0.2 and 0.05 mm from neutral
    expect(from("neutral")).toEqual([-0.2, 0.05]);
    expect(from("1/2 turn toward back bow")).toEqual([-0.1, 0.15]);
    expect(from("1/2 turn clockwise from neutral")).toEqual([-0.1, 0.15]);
    expect(from("3/4 turn toward back bow")).toEqual([0, 0.25]);
    // never tried beyond three quarters: nothing further, and only what was tried of it is counted let go
    expect(from("1 turn toward back bow")).toEqual([0, 0.25]);
    expect(from("1/2 turn toward forward bow")).toEqual([-0.25, 0]);
    // a rod that works one way lets go what it holds, and pushes nothing
    expect(from("1/2 turn clockwise from neutral", "one way")).toEqual([-0.1, 0.1]);
    expect(from("neutral", "one way")).toEqual([-0.2, 0]);
    const unclear = levelling({ ...survey, sheet: { ...survey.sheet, state: { rod: "tight", strings: "off" } } }, { rod: tested });
    expect(unclear.status === "posed" ? [unclear.problem.rod, unclear.notes.join(" ")] : []).toEqual([{ lowMm: 0, highMm: 0 }, expect.stringContaining("how many turns from neutral")]);
  });

  test("limits and ranges by which nothing can be planned are refused with a sentence", () => {
    expect(() => levelling(survey, { rod: { lowMm: 0.3, highMm: -0.1 } })).toThrow("the lower first");
    expect(() => levelling(survey, { rod: { lowMm: NaN, highMm: 0.1 } })).toThrow("expected two lengths");
    const limited = (limits: Readonly<Record<string, number>>) => () => levelling({ ...survey, neck: { ...survey.neck, limits } });
    expect(limited({ crownMinMm: NaN })).toThrow("least crown left after levelling, found NaN");
    expect(limited({ levelToleranceMm: -0.01 })).toThrow("a number, 0 or more,");
    expect(limited({ reliefMinMm: 0.3, reliefMaxMm: 0.1 })).toThrow("swap the two");
    expect(limited({ reliefMinMm: 0.4 })).toThrow("0.3 mm (common practice, not stated)");
  });

  test("strung necks and necks without fret tops are not planned", () => {
    const strung = levelling({ ...survey, sheet: { ...survey.sheet, state: { strings: "on, to pitch" } } });
    expect(strung.status).toBe("measure first");
    expect(strung.status === "measure first" ? strung.describe() : "").toContain("strings off");
    expect(levelling({ ...survey, heights: [] }).status).toBe("measure first");
    const withStrings = (strings: string): string => levelling({ ...survey, sheet: { ...survey.sheet, state: { strings } } }).status;
    expect(["at pitch", "strung", "tuned to E", "on, slack"].map(withStrings)).toEqual(Array(4).fill("measure first"));
    expect(["off, detuned", "not on", "none"].map(withStrings)).toEqual(Array(3).fill("posed"));
  });
});

describe("crowns count only where they are known", () => {
  const tops = [{ fret: 5, line: "bass" }, { fret: 6, line: "bass" }];

  test("from the gauge, on the fret's other lines too, else the wire as stated; each is said", () => {
    const known = crownHeights(inventedNeckFile(), [gauged(1.02, [5])], tops);
    if (known.status !== "known") throw new Error(known.need);
    expect(known.crowns).toEqual([{ fret: 5, line: "bass", heightMm: 1.02, uMm: 0.01, from: "read on this fret, another line" }, { fret: 6, line: "bass", heightMm: 1.1, uMm: 0, from: "wire as stated" }]);
    expect(known.said).toContain("1 of 2 tops wire as stated");
  });

  test("with neither, and with wire that a file has been over, what to measure is said", () => {
    const { crownHeightMm: wireMm, ...bare } = inventedNeckFile();
    expect(wireMm).toBeCloseTo(1.1, 12);
    const without = crownHeights(bare, [survey.sheet], tops);
    expect(without.status === "unknown" ? without.need : "").toContain("Measure the crowns of frets 5 and 6");
    const filed = levelling({ ...survey, sheet: { ...survey.sheet, state: { ...survey.sheet.state, fretState: "levelled" } } });
    expect(filed.status === "measure first" ? filed.describe() : "").toContain("no longer counts");
    // words that deny the file leave the wire's height standing; words that are not clear do not
    const stated = (fretState: string): string => crownHeights(inventedNeckFile(), [{ ...survey.sheet, state: { fretState } }], tops).status;
    expect(["pressed, not levelled", "to be levelled and crowned", "unlevelled"].map(stated)).toEqual(Array(3).fill("known"));
    expect(["partly levelled", "levelling", "crowned"].map(stated)).toEqual(Array(3).fill("unknown"));
  });

  test("a gauge's crown counts its uncertainty lower, and a high fret's lower by what may be air", () => {
    const measured = levelling(survey, { crowns: [gauged(1.1, Array.from({ length: 22 }, (_, index) => index + 1))] });
    if (measured.status !== "posed") throw new Error(measured.describe());
    const spare = (of: Levelling, fret: number): number => of.problem.tops.find((top) => top.fret === fret && top.line === "centre")?.spareMm ?? NaN;
    expect(spare(measured, 3)).toBeCloseTo(1.1 - 1.645 * 0.01 - 0.75, 9);
    expect(spare(measured, 9)).toBeLessThan(spare(measured, 3) - 0.05);
  });
});

describe("shapes", () => {
  test("relief: a parabola's own profile gives the even curve back, scaled", () => {
    const xMm = Array.from({ length: 41 }, (_, index) => 10 * index);
    const shape = profileRelief({ of: "parabola", xMm, vMm: xMm.map((x) => 0.001 * x - 0.3 * evenRelief(0, 400)(x)) });
    for (const x of xMm) expect(shape(x)).toBeCloseTo(evenRelief(0, 400)(x), 9);
    expect(shape(450)).toBeLessThan(0);
    expect(() => profileRelief({ of: "flat", xMm: [0, 100], vMm: [0, 0.1] })).toThrow("a profile that bends");
  });

  test("fall-away: the beam from the tape to the last fret runs through the joint", () => {
    const neck = inventedNeckFile();
    const tape = tapeFor(neck, 0.15);
    if (tape === undefined) throw new Error("no tape");
    const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
    const slope = (-0.15 - tape.thicknessMm) / (x(22) - x(tape.fret));
    expect(tape.thicknessMm + slope * (x(16) - x(tape.fret))).toBeCloseTo(0, 12);
    expect(tape.thicknessMm + slope * (x(19) - x(tape.fret))).toBeCloseTo(-fallAwayAt(neck, 0.15, x(19)), 12);
    expect(fallAwayAt(neck, 0.15, x(12))).toBe(0);
    expect(tapeFor(neck, 0)).toBeUndefined();
  });
});

describe("a plan carried out", () => {
  test("the ink line lies within the tolerance over every top and touches that limit twice", () => {
    const xs = [0, 10, 20, 30, 40, 50];
    const heights = [0.05, 0.02, 0.06, 0.01, 0.09, 0.04];
    const at = inkLine(xs, heights, 0.015);
    const over = xs.map((x, index) => at(x) - (heights[index] ?? 0));
    expect(Math.max(...over)).toBeCloseTo(0.015, 12);
    expect(over.filter((mm) => mm > 0.015 - 1e-9)).toHaveLength(2);
  });

  test("on the heights it was made from nothing more is needed than planned, up to the other plans that cost as little", () => {
    const seated = posed.problem.tops.map((top) => top.heightMm - (plan.reseat.includes(top.fret) ? (top.dropMm ?? 0) : 0));
    const { cutMm } = carriedOut(posed.problem, plan, guidesOf(posed.problem, plan), seated);
    // following the ink minimises the depth of the line, the plan the metal that comes off: never less than the plan's
    expect(cutMm.reduce((sum, one) => sum + one, 0)).toBeGreaterThan(plan.sumMm - 1e-9);
    expect(Math.max(...cutMm.map((mm, index) => mm - (posed.problem.tops[index]?.spareMm ?? 0)))).toBeLessThan(0);
  });

  test("the allowance is enough 19 times in 20, and lowering every top's certainty raises it", () => {
    expect(sure.allowanceMm).toBeGreaterThan(0);
    expect(sure.probability).toBeLessThan(0.95);
    expect(sure.guides).toHaveLength(3);
    expect(sufficiency(posed, plan, 200)).toEqual(sure);
  });
});

describe("crowns, over all necks that the readings allow", () => {
  test("count those that need most metal as well: the chance is that of no crown too low before every top is met", () => {
    // crowns so thin that only necks which need more than planned break them
    const thin = (spareMm: number): Levelling => ({ ...posed, problem: { ...posed.problem, tops: posed.problem.tops.map((top, index) => ({ ...top, spareMm: (plan.removals[index]?.removeMm ?? 0) + spareMm })) } });
    const reach = sufficiency(posed, plan, 200).allowanceMm;
    const found = [0.005, reach, 3 * reach + 0.2].map((mm) => sufficiency(thin(mm), plan, 200).probabilityCrowns);
    expect(found[0]).toBeLessThan(0.5);
    expect(found[1]).toBeLessThan(1);
    expect(found[2]).toBe(1);
    // the draws past the allowance are those in which a crown with just the allowance to spare at the guides gets too low
    expect(workingSteps(home.posed, home.plan, { ...home.sure, probabilityCrowns: 0.96 }).howSure.join(" ")).toContain("A crown gets too low before every top is met with a chance of 4 %");
    expect(workingSteps(home.posed, home.plan, { ...home.sure, probabilityCrowns: 0.998 }).howSure.join(" ")).toContain("with a chance of under 1 %");
  });

  test("that a fret goes home is a condition where no gap was seen under it", () => {
    expect(sure.unseenGaps).toEqual(plan.reseat);
    const looked = levelling(inventedSurvey(inventedNeckFile(), {}, "\nsurface: under crown\nfret centre\n9 4\n"), { rod: { lowMm: -0.3, highMm: 0.1 } });
    if (looked.status !== "posed") throw new Error(looked.describe());
    expect(sufficiency(looked, plan, 20).unseenGaps).toEqual([14, 19]);
  });
});

describe("the working steps", () => {
  test("say rod, relief to have, frets to seat, where it touches, when to stop, crowns, and the care to take", () => {
    const { headline, steps, crowns, howSure, cautions } = workingSteps(home.posed, home.plan, home.sure);
    const text = steps.flatMap(({ heading, sentences }) => [heading, ...sentences]).join(" ");
    expect(headline).toMatch(/^Level: at most 0\.1/);
    expect(steps.map(({ heading }) => heading)).toEqual(["Before you start", "Fret 5 is low: decide first", "Set the rod, check the relief", "Touches first", "When to stop", "After"]);
    expect(text).toContain("From neutral, set the rod so that the middle moves");
    expect(text).not.toContain("leaf");
    expect(text).toContain("0.75 mm (29.5 thou)");
    expect(crowns.length).toBeGreaterThan(0);
    for (const { nowMm, removeMm, afterMm } of crowns) expect(afterMm).toBeCloseTo(nowMm - removeMm, 12);
    expect(howSure.join(" ")).toMatch(/^Cut to expect at the guide frets: 0\.\d\d mm .*, up to 0\.\d\d mm .* where the readings are unsure\. That is enough 19 times in 20/);
    for (const word of ["Metal dust", "eye protection", "quarter turn", "What the makers of rod, tools and materials say comes first", "qualified practice"]) expect(cautions.join(" ")).toContain(word);
  });

  test("where something is to be seated or looked under, that is today's work and all the work that is told", () => {
    const { headline, steps, crowns, howSure } = workingSteps(posed, plan, sure);
    expect(headline).toBe("Today: if a leaf goes under frets 9, 14 and 19, seat them; then read the neck again. Levelling waits for a new plan.");
    expect(howSure).toEqual(["How much comes off then, and where, only the new plan can say: seating moves the neck."]);
    expect(steps.map(({ heading }) => heading)).toEqual(["Today"]);
    expect(steps[0]?.sentences.join(" ")).toMatch(/A thin leaf under the crowns of frets 9, 14 and 19.*Where no leaf goes the fret is home: do not tap it, and do not file it today\..*Stop here and ask for a new plan\.$/);
    expect(crowns).toEqual([]);
    const card = benchSteps(posed, plan, sure);
    expect(card.steps.map(({ heading }) => heading)).toEqual(["Today"]);
    expect(card.steps[0]?.does).toContain("Stop here and ask for a new plan.");
  });

  test("a plan that may take a crown too low says what to do first, and nothing to file by", () => {
    for (const of of [{ posed, plan, sure }, home]) {
      const unsafe = { ...of.sure, probabilityCrowns: 0.3 };
      const { headline, steps, crowns, howSure } = workingSteps(of.posed, of.plan, unsafe);
      expect(headline).toMatch(/^Do not start\. First: straighten the neck further than this plan's range of the rod allows, or measure the crowns of frets? .*; then ask again\.$/);
      expect([steps, crowns]).toEqual([[], []]);
      expect(howSure.join(" ")).toMatch(/^Why: before every top is met, a crown gets lower than .* with a chance of 70 %/);
      expect([benchSteps(of.posed, of.plan, unsafe).steps, benchSteps(of.posed, of.plan, unsafe).why]).toEqual([[], howSure]);
    }
    const untested = { ...home.posed, problem: { ...home.posed.problem, rod: { lowMm: 0, highMm: 0 } } };
    expect(workingSteps(untested, home.plan, { ...home.sure, probabilityCrowns: 0.3 }).headline).toContain("First: straighten the neck with the rod after a rod test, or");
  });

  test("each kind of day has its own cautions, each once", () => {
    const of = (one: typeof home, unsafe = false): string => workingSteps(one.posed, one.plan, unsafe ? { ...one.sure, probabilityCrowns: 0.3 } : one.sure).cautions.join(" ");
    const [level, seat, stopped] = [of(home), of({ posed, plan, sure }), of(home, true)];
    expect([level, seat, stopped].map((words) => /Metal dust/.test(words))).toEqual([true, false, false]);
    expect([level, seat, stopped].map((words) => /Before you tap/.test(words))).toEqual([false, true, false]);
    expect([level, seat, stopped].map((words) => words.split("quarter turn").length - 1)).toEqual([1, 0, 1]);
    const without = { ...home, posed: { ...home.posed, survey: { ...survey, neck: inventedNeckFile({ rod: { works: "none" } }) } } };
    expect([of(without), of(without, true)].join(" ")).not.toContain("quarter turn");
  });

  test("what is open is read before anything else, in the steps and on the card", () => {
    const open = { ...home.posed, before: ["Read fret 9 once more."] };
    expect(workingSteps(open, home.plan, home.sure).headline).toMatch(/^Read first what is open, then level: at most/);
    expect(workingSteps(open, home.plan, home.sure).steps[0]?.sentences[0]).toBe("Read fret 9 once more.");
    expect(benchSteps(open, home.plan, home.sure).steps[0]).toEqual({ heading: "First", does: "Read fret 9 once more.", how: [] });
    expect(benchSteps(home.posed, home.plan, home.sure).steps[0]?.heading).not.toBe("First");
  });

  test("the headline says what a low fret costs the others before anyone files down to it", () => {
    const less = { ...home.plan, leftOut: { fret: 5, underMm: 0.08, sumMm: 0.1, mostMm: 0.03, cutMm: [] } };
    expect(workingSteps(home.posed, less, home.sure).headline).toMatch(/ Decide about fret 5 first, it is low: left out or refitted, at most 0\.03 mm \(.*\) comes off\.$/);
    expect(workingSteps(home.posed, { ...less, leftOut: { ...less.leftOut, mostMm: home.plan.mostMm } }, home.sure).headline).not.toContain("Decide");
    expect(workingSteps(home.posed, less, home.sure).cautions.filter((caution) => caution.startsWith("When you pull and refit"))).toHaveLength(1);
    const nothing = { ...home.plan, leftOut: { fret: 5, underMm: 0.08, sumMm: 0, mostMm: 0.002, cutMm: [] } };
    expect(workingSteps(home.posed, nothing, home.sure).headline).toContain("left out or refitted, there is nothing to level.");
    expect(benchSteps(home.posed, nothing, home.sure).steps[0]?.how.join(" ")).toContain("plan anew: nothing to level then.");
  });

  test("what the fall-away takes from the tape is no leave to file as much off any fret", () => {
    const plain = { ...home.sure, guides: home.sure.guides.map((guide) => ({ ...guide, canGauge: false })) };
    const last = home.plan.removals.length - 1;
    const removals = home.plan.removals.map((one, index) => (index === last ? { ...one, removeMm: 0.9 } : one));
    const taped = { ...home.plan, removals, problem: { ...home.plan.problem, tops: home.plan.problem.tops.map((top, index) => ({ ...top, fallAwayMm: index === last ? 0.9 : 0 })) } };
    const cap = (of: LevelPlan): string => stopRule({ ...home.posed, limits: { ...home.posed.limits, fallAwayMm: 0.9 } }, of, plain, "mm first").join(" ");
    expect(cap(taped)).toMatch(/No guides, ink left: at most 0\.[0-5]\d mm \(.*\) off any fret before the fall-away\./);
    expect(cap({ ...home.plan, removals })).toMatch(/at most (?:0\.9|1\.)\d+ mm/);
  });

  test("a few frets that say hardly anything are no ground for filing", () => {
    const few = inventedSurveyOf("fret centre\n1 touch\n8 6\n16 3\n22 touch\n");
    const found = levelling(few);
    expect(found.status === "measure first" ? found.describe() : found.status).toMatch(/^Do not level yet\. Read more frets: these readings hardly say how any fret stands/);
    expect(levelling(survey).status).toBe("posed");
  });

  test("guides are the deepest cuts that can be gauged, a fair way apart; without any it goes by the ink", () => {
    const cut = (index: number): number => home.plan.removals[index]?.removeMm ?? NaN;
    for (const { line, tops, canGauge } of home.sure.guides) {
      expect(canGauge, line).toBe(true);
      for (const index of tops) expect(cut(index)).toBeGreaterThanOrEqual(0.04);
      const deepest = Math.max(...home.plan.removals.filter((one) => one.line === line).map(({ removeMm }) => removeMm));
      expect(cut(tops[0] ?? NaN)).toBe(deepest);
    }
    const shallow = { ...home.plan, removals: home.plan.removals.map((one) => ({ ...one, removeMm: one.removeMm / 10 })) };
    const guides = guidesOf(home.posed.problem, shallow);
    expect(guides.map(({ canGauge }) => canGauge)).toEqual([false, false, false]);
    const { steps, crowns } = workingSteps(home.posed, shallow, { ...home.sure, guides });
    expect(crowns.filter(({ why }) => why === "guide")).toEqual([]);
    expect(steps.find(({ heading }) => heading === "When to stop")?.sentences.join(" ")).toMatch(/2\. No guides, ink left: at most 0\.\d\d mm .* off any fret\..*The cuts are too small to gauge: go by the ink\./);
  });

  test("one rule says when to stop, in the steps and on the card", () => {
    const rule = stopRule(home.posed, home.plan, { ...home.sure, allowanceMm: 0.04 }, "mm first");
    expect(rule).toEqual(["1. Ink gone, but for a trace, 0.015 mm (0.59 thou): stop.", "2. Guides down, ink left: at most 0.04 mm (1.6 thou) more.", "3. Still ink, or any crown at its least height, 0.75 mm (29.5 thou): stop, read again."]);
    const told = stopRule(home.posed, home.plan, home.sure, "mm first").join(" ");
    expect(workingSteps(home.posed, home.plan, home.sure).steps.flatMap(({ sentences }) => sentences).join(" ")).toContain(told);
    expect(benchSteps(home.posed, home.plan, home.sure).steps.map(({ does }) => does).join(" ")).toContain(told);
  });

  test("crowns that nobody measured stand under a condition, and none is said to be safe beside that", () => {
    const safe = { ...home.sure, probabilityCrowns: 1 };
    const words = workingSteps(home.posed, home.plan, safe).howSure.join(" ");
    expect(words).toContain("does a crown get too low, if the wire really is 1.10 mm (43.3 thou) high. Gauge three crowns before you file.");
    expect(words).not.toContain("none was measured");
    const read = { ...home.posed, crowns: home.posed.crowns.map((crown) => ({ ...crown, from: "read" as const })) };
    expect(workingSteps(read, home.plan, safe).howSure.join(" ")).not.toContain("if the wire");
  });

  test("the few words of the card say the same: what stands out where the beam bears first, reliefs that leaves cannot tell apart together, crowns only where they come near", () => {
    const told = (first: Sufficiency["first"]): string => benchSteps(home.posed, home.plan, { ...home.sure, first }).steps.map(({ does }) => does).join(" ");
    const pair = [2, 9] as const;
    expect(told([{ line: "bass", frets: [2, 9], pair }])).toContain("Bears first as drawn? If not: stop, measure.");
    expect(told([{ line: "bass", frets: [1, 2, 3, 8, 9, 10, 11], pair }])).not.toContain("stop, measure");
    expect([bearsFirstWords({ frets: [2, 9], pair }), bearsFirstWords({ frets: [2, 8, 9], pair }), bearsFirstWords({ frets: [1, 2, 3, 8, 9, 10, 11], pair })]).toEqual(["bears first on frets 2 and 9", "bears first on two of 2, 8, 9", "no fret stands out, likeliest frets 2 and 9"]);
    const { steps, why, crowns } = benchSteps(home.posed, home.plan, home.sure);
    expect(steps.map(({ heading }) => heading)).toEqual(["Decide", "Rod", "Relief", "Ink", "File", "After"]);
    expect(steps[2]?.does).toMatch(/^Before the beam: .* at fret \d+, every line\.$/);
    expect(why[0]).toMatch(/^No plan within these limits takes less off: fret 5 \(.*\) decides it, it is low\.$/);
    expect(crowns.every(({ why: reason }) => reason === "guide")).toBe(true);
    const thin = { ...home.posed, problem: { ...home.posed.problem, tops: home.posed.problem.tops.map((top, index) => ({ ...top, spareMm: (home.plan.removals[index]?.removeMm ?? 0) + 0.05 })) } };
    const guided = home.sure.guides.flatMap(({ tops }) => tops);
    const tight = home.plan.removals.flatMap(({ removeMm }, index) => (removeMm > 0 && !guided.includes(index) ? [index] : [])).slice(0, 3);
    expect(benchSteps(thin, home.plan, { ...home.sure, tight }).crowns.some(({ why: reason }) => reason === "tight")).toBe(true);
  });

  test("a fret under whose crown a gap was seen is seated at once, the others only if a leaf goes", () => {
    const seen = levelling(inventedSurvey(inventedNeckFile(), {}, "surface: underCrown\nfret treble\n9 6\n"), { rod: { lowMm: -0.3, highMm: 0.1 } });
    if (seen.status !== "posed") throw new Error(seen.describe());
    const { headline, steps } = workingSteps(seen, plan, sure);
    expect(headline).toBe("Today: seat fret 9; if a leaf goes under frets 14 and 19, seat them; then read the neck again. Levelling waits for a new plan.");
    expect(steps.flatMap(({ sentences }) => sentences).join(" ")).toContain("Seat fret 9, where a gap was seen");
  });

  test("the rod: which way the nut turns and with which wrench, in small steps; after the levelling back, or anew under strings", () => {
    const textOf = (rod: Readonly<Record<string, unknown>>): string => {
      const { steps } = workingSteps({ ...home.posed, survey: { ...survey, neck: inventedNeckFile({ rod }) } }, home.plan, home.sure);
      return steps.flatMap(({ sentences }) => sentences).join(" ");
    };
    const known = textOf({ works: "both ways", wrench: "4 mm", moreRelief: "anticlockwise" });
    expect(known).toContain("turn the nut clockwise (seen from the wrench's end), wrench 4 mm. An eighth of a turn first, wait, read the middle again");
    expect(known).toContain("never more than a quarter turn a step");
    expect(known).toContain("bring it back to neutral (turn the nut anticlockwise (seen from the wrench's end), a quarter turn a step at most), or set it anew under strings");
    expect(textOf({ works: "both ways" })).toMatch(/Find out first: an eighth of a turn anticlockwise.*bring it back to neutral \(the other way,/);
    expect(textOf({ works: "both ways" })).not.toMatch(/tighter|looser/);
  });

  test("with fall-away wanted, where to tape is said, and thou may come first", () => {
    const tongue = levelling({ ...survey, neck: inventedNeckFile({ limits: { fallAway: "0.15 mm" } }) }, { rod: { lowMm: -0.3, highMm: 0.1 }, mayBeSeated: [] });
    if (tongue.status !== "posed") throw new Error(tongue.describe());
    const text = workingSteps(tongue, home.plan, home.sure, "thou first").steps.flatMap(({ sentences }) => sentences).join(" ");
    expect(text).toContain("ride on the tape");
    expect(text).toContain("5.9 thou (0.15 mm) at the last");
  });
});
