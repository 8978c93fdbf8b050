import { describe, expect, test } from "vitest";
import { adjust, bowModel, calibrated, heightAt, rodAdvice, rodObservation, rodQuestionOf, rodTest } from "neck-survey";
import type { EdgeSetting, Measured, NeckLine, Profile, RodAdvice, RodQuestion, Survey, TrussRod } from "neck-survey";
import { rodAdviceUnsaid } from "../../../src/advice/rod/strungOrBare.js";
import { NECK, along, bowed, exact, gapMm, sheet, sweep } from "../../survey/bench.js";

const about = (value: number, u = 0.02): Measured => ({ value, u, unit: "mm", low95: value - 1.96 * u, high95: value + 1.96 * u });

/** A bare neck that was read on all lines; relief is over fret 1 to 22, so a little less over 1 to 16. */
function surveyed(reliefMm: number, rod: TrussRod = {}, rodState = "neutral"): Survey {
  const key = JSON.stringify([reliefMm, rod, rodState]);
  const known = surveys.get(key) ?? adjusted(reliefMm, rod, rodState);
  surveys.set(key, known);
  return known;
}

const surveys = new Map<string, Survey>();

function adjusted(reliefMm: number, rod: TrussRod, rodState: string): Survey {
  const neck = { ...NECK, rod };
  return adjust(neck, { ...sheet(NECK.lines.map((line) => (reliefMm < 0 ? pressed(reliefMm, line) : sweep(bowed(reliefMm), line)))), state: { rod: rodState, strings: "off" } });
}

/** A back bow as a dial reads it under an edge that stands off at both ends: every fret, by value. */
function pressed(reliefMm: number, line: NeckLine): EdgeSetting {
  return along(line.name, Array.from({ length: 22 }, (_, index) => exact(line.name, index + 1, 1 + gapMm(bowed(reliefMm), line, [1, 22], index + 1))));
}

const advice = (reliefMm: number, question: RodQuestion = {}, rod: TrussRod = {}, rodState = "neutral"): RodAdvice => rodAdvice(surveyed(reliefMm, rod, rodState), question);

const WANTED = { target: { minMm: 0.1, maxMm: 0.3 } };

describe("rod advice", () => {
  test("too much relief: toward back bow; too little: toward forward bow; within: leave it", () => {
    expect(advice(0.6, WANTED).decision).toBe("turn toward back bow");
    expect(advice(-0.2, WANTED).decision).toBe("turn toward forward bow");
    expect(advice(0.23, WANTED)).toMatchObject({ decision: "leave the rod", headline: "test neck: leave the rod as it is." });
    for (const relief of [0.6, -0.2]) expect(advice(relief).probability).toBeGreaterThan(0.99);
  });

  test("where the edge's own bow is most of what is unknown, that is said, and not to lay the same edge down again", () => {
    const sweeps = NECK.lines.map((line) => sweep(bowed(0.2), line));
    const survey = adjust(NECK, { ...sheet(sweeps.map((setting) => ({ ...setting, tool: { ...setting.tool, straightnessToleranceMm: 0.12 } }))), state: { rod: "neutral", strings: "off" } });
    const reliefMm = rodAdvice(survey, WANTED).numbers?.now.value ?? NaN;
    const open = rodAdvice(survey, { target: { minMm: reliefMm, maxMm: reliefMm + 0.2 } });
    expect(open.describe()).toMatch(/No single further reading narrows this by much: the give or take is 0\.\d\d mm \(.* thou\)\. About 0\.\d\d mm \(.* thou\) of that is the edge's own bow, .* have the edge checked/);
    expect(open.describe()).not.toContain("set the edge down afresh");
  });

  test("what the strings will add counts", () => {
    const bare = advice(0.05, { strings: about(0.4) });
    expect(bare.decision).toBe("turn toward back bow");
    expect(bare.numbers?.underStrings.value).toBeCloseTo((bare.numbers?.now.value ?? NaN) + 0.4, 9);
    expect(bare.describe()).toContain("Strings at pitch are expected to add 0.40 mm, give or take 0.04 (15.7 thou, give or take 1.5) of forward bow (middle low)");
    expect(advice(0.05, WANTED).decision).toBe("turn toward forward bow");
  });

  test("a bare neck that goes out bare is judged straight, and says so", () => {
    const straight = advice(0.05);
    expect(straight.decision).toBe("leave the rod");
    expect(straight.describe()).toContain("a neck that goes out bare is to be straight");
    expect(straight.assumed.join("; ")).toContain("most bow, either way, of a neck that goes out bare: 0.10 mm");
    expect(advice(0.23).decision).toBe("turn toward back bow");
  });

  test("strings that were on are not added again", () => {
    const strung = rodAdvice({ ...surveyed(0.3), sheet: { ...surveyed(0.3).sheet, state: { strings: "on, at pitch" } } }, { strings: about(0.4) });
    expect(strung.numbers?.underStrings.value).toBe(strung.numbers?.now.value);
    expect(strung.describe()).toContain("The strings were on when it was read, so nothing is added for them");
  });

  test("lines read over unlike stretches are judged over what they share, or by the longest", () => {
    const read = (line: string): readonly number[] => (line === "treble" ? [8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22] : line === "bass" ? [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] : []);
    const settings = NECK.lines.filter(({ name }) => name !== "centre").map((line) => along(line.name, read(line.name).map((fret) => exact(line.name, fret, 1 + gapMm(bowed(0.8), line, [1, 22], fret)))));
    const { bodyJoint: _, ...noJoint } = NECK;
    const unlike = rodAdvice(adjust(noJoint, { ...sheet(settings), state: { rod: "neutral" } }), WANTED);
    // an even forward bow of 0.8 mm over frets 1 to 22 leaves 0.3 mm or more over either stretch
    expect(unlike.numbers?.now.value ?? NaN).toBeGreaterThan(0.15);
    expect(unlike.decision).not.toBe("turn toward forward bow");
  });

  test.each([[0.3, 0.1], [Number.NaN, 0.3], [0.1, Number.POSITIVE_INFINITY]])("a wanted relief from %d to %d is refused", (minMm, maxMm) => {
    expect(() => advice(0.2, { target: { minMm, maxMm } })).toThrow("expected two finite lengths, the smaller first");
  });

  test("the dead zone of the rod is turned through first, from where the nut stands", () => {
    const readings = [0, 0.25, 0.5, 0.75, 1, 0].map((turns) => ({ turns, reliefMm: 0.9 - 0.8 * Math.max(0, turns - 0.4), uMm: 0.005 }));
    const tested = rodTest({ readings, towardBackShare: 1 });
    const fromNeutral = advice(0.9, { ...WANTED, test: tested }).turns;
    const change = Math.abs(advice(0.9, WANTED).numbers?.change.value ?? NaN);
    expect(Math.abs((fromNeutral?.inAll.value ?? NaN) - (0.4 + change / 0.8))).toBeLessThan(0.08);
    const fromTightened = advice(0.9, { ...WANTED, test: tested }, {}, "1/2 turn tighter").turns;
    expect(Math.abs((fromTightened?.inAll.value ?? NaN) - change / 0.8)).toBeLessThan(0.08);
  });

  test("a test that contradicts the neck file turns nothing", () => {
    const other = rodTest({ readings: [0, 0.25, 0.5, 0].map((turns) => ({ turns, reliefMm: 0.2 + 0.8 * turns, uMm: 0.005 })), towardBackShare: 0.97 });
    expect(other.moreRelief).toMatchObject({ way: "clockwise" });
    const told = advice(0.9, { ...WANTED, test: other }, { moreRelief: "anticlockwise" });
    expect(told).toMatchObject({ decision: "read first", headline: "test neck: turn nothing yet. The neck file and the rod's own test contradict each other." });
    expect(advice(0.9, { ...WANTED, test: other }).headline).toContain("turn the nut anticlockwise (seen from the wrench's end)");
  });

  test("no rod, and no board on the neck yet, are told", () => {
    expect(advice(0.23, WANTED, { works: "none" }).headline).toContain("there is no rod to turn");
    const free = rodAdvice({ ...surveyed(0.6), sheet: { ...surveyed(0.6).sheet, stage: "fretted board, not glued" } });
    expect(free.headline).toContain("this is a free board; it has no rod yet");
  });

  test("wide doubt about the strings makes it unsure, and asks to string it up", () => {
    const unsure = advice(0, { strings: about(0.25, 0.15) });
    expect(unsure.probability).toBeLessThan(0.8);
    expect(unsure.readIfUnsure.join(" ")).toContain("string it up to pitch, let it settle, and read the middle again");
  });

  test("a neck that is twisted beyond the limit is not strung to find out: the twist comes first", () => {
    const twisted: Survey = { ...surveyed(0), twist: { status: "determined", between: () => [] }, linear: (terms) => (terms.length === 0 ? about(0.8) : surveyed(0).linear(terms)) };
    const unsure = rodAdvice(twisted, { strings: about(0.25, 0.15) });
    expect(unsure.describe()).toContain("The neck is twisted beyond the limit, and the rod cannot cure twist: settle that first");
    expect(unsure.describe()).not.toContain("string it up");
    const unsaid = rodAdviceUnsaid(twisted, {}, { strings: about(0.25, 0.15) });
    expect([unsaid.decision, unsaid.describe().includes("do not string it before"), unsaid.describe().includes("string it up")]).toEqual(["say first", true, false]);
    expect(advice(0, { strings: about(0.25, 0.15) }).describe()).not.toContain("twist");
  });

  test("probabilities over draws follow a skew distribution, not its normal", () => {
    const draws = Array.from({ length: 200 }, (_, index) => (index < 180 ? 0.15 : 1.5));
    const mean = draws.reduce((sum, value) => sum + value / draws.length, 0);
    const skew = advice(0, { strings: about(mean, 0.4), stringsDrawsMm: draws });
    expect(skew.decision).toBe("leave the rod");
    expect(skew.numbers?.probabilities.tooMuchRelief).toBeCloseTo(0.1, 2);
  });

  test("the relief that is wanted is reached by the change that is advised, and the profile after shows it", () => {
    const turned = advice(0.6, { target: { minMm: 0.1, maxMm: 0.2 } });
    const { now, change } = turned.numbers ?? {};
    expect((now?.value ?? NaN) + (change?.value ?? NaN)).toBeCloseTo(0.15, 9);
    const { now: before, after, underStrings } = turned.profiles ?? {};
    const middle = (profile: Profile | undefined): number => (profile === undefined ? NaN : heightAt(profile, turned.profiles?.middleMm ?? NaN));
    expect(middle(after) - middle(before)).toBeCloseTo(-(change?.value ?? NaN), 9);
    expect(after?.vMm[0]).toBe(0);
    expect(underStrings).toBeUndefined();
    const strung = advice(0.6, { strings: about(0.3) }).profiles;
    expect(middle(strung?.underStrings) - middle(strung?.after)).toBeCloseTo(-0.3, 9);
  });

  test("a rod test of this neck gives turns, in steps of a quarter at most", () => {
    const tested = rodTest({ readings: [0, 0.25, 0.5, 0, -0.25, 0].map((turns) => ({ turns, reliefMm: 0.3 - 0.8 * turns, uMm: 0.01 })), towardBackShare: 1 });
    const turned = advice(0.9, { test: tested });
    expect(turned.turns).toMatchObject({ from: "rod test", firstStep: 0.25 });
    const needed = Math.abs(turned.numbers?.change.value ?? NaN) / 0.8; // no dead zone was put in
    expect(turned.turns?.inAll.low95).toBeLessThan(needed);
    expect(turned.turns?.inAll.high95).toBeGreaterThan(needed);
    expect(turned.describe()).toContain("first a quarter turn, wait, read again");
    expect(advice(0.55, { test: tested }).turns?.firstStep).toBeLessThanOrEqual(0.25);
  });

  test("a way that the rod's own test showed not to work is not advised", () => {
    const oneWay = rodTest({ readings: [0, 0.25, 0.5, 0, -0.25, -0.5].map((turns) => ({ turns, reliefMm: 0.3 - 0.8 * Math.max(0, turns), uMm: 0.01 })), towardBackShare: 1 });
    expect(advice(-0.3, { test: oneWay })).toMatchObject({ decision: "not by this rod" });
    expect(advice(-0.3, { test: oneWay }).describe()).toContain("Its own test says that this rod works one way");
    expect(advice(0.6, { test: oneWay }).decision).toBe("turn toward back bow");
  });

  test("a rod test narrows what the bow model expects of a turn", () => {
    const model = bowModel({ ...NECK, rod: { works: "both ways" } });
    const observation = rodObservation(rodTest({ readings: [0, 0.25, 0.5, 0].map((turns) => ({ turns, reliefMm: 0.3 - 0.5 * turns, uMm: 0.01 })), towardBackShare: 1 }), model);
    if (observation === undefined) throw new Error("nothing to learn");
    const [fit] = calibrated(model.belief, [observation]).fits;
    expect(fit?.after.u ?? NaN).toBeLessThan((fit?.before.u ?? NaN) / 3);
    expect(Math.abs((fit?.after.value ?? NaN) - observation.measured.value)).toBeLessThan(2 * observation.measured.u);
  });

  test("without a known response: an eighth of a turn, and its effect is read", () => {
    expect(advice(0.6, {}, { moreRelief: "anticlockwise" }).headline).toContain("How far is not known for this rod: turn an eighth, wait, read the middle again");
  });

  test("nut direction: named where the neck file says it, else how to find it", () => {
    expect(advice(0.6, {}, { moreRelief: "anticlockwise" }).headline).toContain("turn the nut clockwise (seen from the wrench's end)");
    expect(advice(-0.2, {}, { moreRelief: "anticlockwise" }).headline).toContain("turn the nut anticlockwise");
    expect(advice(0.6).headline).toContain("Find out first: an eighth of a turn anticlockwise (seen from the wrench's end), wait");
  });

  test("a slack nut is not turned looser to find its way: its slack is taken up first, in eighths", () => {
    const { headline } = advice(0.6, {}, { works: "one way" }, "slack");
    expect(headline).toContain("take up the slack the way it tightens (clockwise on most nuts, seen from the wrench's end), an eighth of a turn at a time with light fingers, until it just bears, and read fret 7 again. Then find out: an eighth of a turn more, wait, read fret 7 again. Gap larger: wrong way, turn back.");
    expect(headline).not.toContain("anticlockwise");
  });

  test("a rod that works one way cannot cure a back bow when it is slack or neutral; tightened, it can let go", () => {
    for (const state of ["slack", "neutral"]) {
      expect(advice(-0.3, {}, { works: "one way" }, state)).toMatchObject({ decision: "not by this rod", headline: "test neck: the relief is not what is wanted, and this rod cannot mend it." });
      expect(advice(-0.3, {}, { works: "one way" }, state).describe()).toContain("Back bow with the rod slack is not curable by it");
    }
    expect(advice(-0.3, {}, { works: "one way" }, "1/2 turn tighter").decision).toBe("turn toward forward bow");
    expect(advice(0.6, {}, { works: "one way" }, "slack").decision).toBe("turn toward back bow");
    expect(advice(0.6, {}, { works: "none" }).decision).toBe("not by this rod");
  });

  test("readings that determine no relief give no advice on the rod", () => {
    const nothing = rodAdvice(adjust(NECK, sheet([])));
    expect(nothing).toMatchObject({ decision: "read first" });
    expect(nothing.numbers).toBeUndefined();
    expect(nothing.profiles).toBeUndefined();
    expect(nothing.readIfUnsure.join(" ")).toContain("To fix it:");
  });

  test("every advice carries the cautions of the rod, and defers", () => {
    for (const relief of [0.6, 0.23, -0.3]) expect(advice(relief).describe()).toMatch(/Never more than a quarter turn.*a rod that is forced breaks.*Strings at pitch can break and whip.*The rod maker.*come first/s);
  });

  test("the bow model gives what strings add, what a turn moves and its shape", () => {
    const model = bowModel({ ...NECK, rod: { works: "both ways" } });
    const question = rodQuestionOf(model, true);
    expect(question.strings?.low95).toBeGreaterThan(0);
    expect(question.perTurn?.low95).toBeGreaterThan(0);
    const turned = rodAdvice(surveyed(0.6), question);
    expect(turned.decision).toBe("turn toward back bow");
    expect(turned.turns).toMatchObject({ from: "bow model", firstStep: 0.25 });
    expect(rodQuestionOf(model, false).strings).toBeUndefined();
    expect(rodQuestionOf(bowModel(NECK), false)).toEqual({});
  });
});
