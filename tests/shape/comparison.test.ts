import { describe, expect, test } from "vitest";
import { adjustTogether, compareSheets, compareSurveys, comparisons } from "neck-survey";
import type { Comparison, NeckState, SurveySheet } from "neck-survey";
import { NECK, THOU, along, bowed, exact, gapMm, interval, lineNamed, place, sheet, sweep } from "../survey/bench.js";
import type { Truth } from "../survey/bench.js";

const STRAIGHT = { name: "certified edge", kind: "straightedge", lengthMm: 450, straightnessToleranceMm: 0.001 } as const;

function read(truth: Truth, stage: string, state: NeckState = {}, date = ""): SurveySheet {
  const swept = sweep(truth, lineNamed("centre"));
  return { ...sheet([{ ...swept, tool: STRAIGHT }]), stage, state, date };
}

function compared(before: SurveySheet, after: SurveySheet): Comparison {
  return compareSheets(NECK, before, after);
}

function determined(found: Comparison): Extract<Comparison, { bow: unknown }> {
  if (found.status === "undetermined") throw new RangeError(found.need);
  return found;
}

const raised: Truth = (line, fret) => bowed(0.2)(line, fret) + (fret === 9 ? 0.1 : 0);
const neutral = { rod: "neutral" };

describe("compareSurveys", () => {
  test("unlike states: that it has settled is not said; no line in common: which were read is", () => {
    const found = compared(read(bowed(0.3), "glued", { strings: "on" }), read(bowed(0.3), "later", { strings: "off" }));
    expect(found.status).toBe("settled");
    expect(found.describe()).toMatch(/test neck: whether it has settled cannot be judged, since the two were read in unlike states \(strings: on then, off now\)/);
    const bass = { ...sheet([{ ...sweep(bowed(0.3), lineNamed("bass")), tool: STRAIGHT }]), stage: "later" };
    expect(compared(read(bowed(0.3), "glued"), bass).describe()).toContain("no line was read in both (centre then, bass now): read centre again as it was read before");
  });

  test("a neck that moved: which way, by how much, that luck does not do it, how much of it is bow, and the rod", () => {
    const found = determined(compared(read(bowed(0.4), "glue-up", neutral, "2026-05-01"), read(bowed(0.25), "next day", neutral)));
    expect(found.status).toBe("moved");
    expect(found.bow.value).toBeLessThan(0);
    // forward bow of 0.15 from fret 1 to 22 is less from fret 1 to the joint
    const joint = 0.15 * 0.76 ** 2;
    expect(found.bow.low95).toBeLessThan(-joint + 0.02);
    expect(found.bow.high95).toBeGreaterThan(-joint - 0.02);
    const said = found.describe().split("\n");
    expect(said[0]).toBe("Let test neck rest and read it again in the same state; go on when two surveys agree.");
    expect(said[1]).toMatch(/^test neck moved toward back bow \(middle high\) since "glue-up" \(2026-05-01\) by 0\.\d\d mm, give or take 0\.\d\d \(\d\.\d thou, give or take \d\.\d\)\. Moved, almost sure\.$/);
    expect(said.some((sentence) => sentence.startsWith("Nearly all of it is an even bow of the whole neck; "))).toBe(true);
    expect(said.at(-2)).toBe("Rod was neutral both times.");
  });

  test("the other way round it moved toward forward bow by as much", () => {
    const [a, b] = [read(bowed(0.4), "a"), read(bowed(0.25), "b")];
    const [there, back] = [determined(compared(a, b)), determined(compared(b, a))];
    expect(Math.abs(back.bow.value + there.bow.value)).toBeLessThan(0.2 * there.bow.u);
    expect(Math.abs(back.bow.u / there.bow.u - 1)).toBeLessThan(0.1);
    expect(back.describe()).toContain("moved toward forward bow (middle low)");
  });

  test("two surveys that agree: the neck has settled, and what is ruled out is said", () => {
    const found = determined(compared(read(bowed(0.2), "day two"), read(bowed(0.2), "day three")));
    expect(found.status).toBe("settled");
    expect(found.describe()).toMatch(/Centre line, frets \d+ to \d+: no change, give or take 0\.0\d mm \(\d\.\d thou\)\./);
    expect(found.chanceUnmoved).toBeGreaterThan(0.5);
    expect(found.describe()).toMatch(/^Go on with test neck, but read it once more before levelling: nothing moved that matters\.\ntest neck has settled: no movement since "day two" that your readings tell from none, and none of more than 0\.0\d mm \(\d\.\d thou\)\.\n/);
  });

  test("few readings that agree leave the question open, and say what would go unseen", () => {
    const few = sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 0.1, 0.3), exact("centre", 16, 0)])]);
    const found = determined(compared({ ...few, stage: "then" }, { ...few, stage: "now" }));
    expect(found.status).toBe("open");
    expect(found.describe()).toMatch(/but up to 0\.\d\d mm \(\d\.\d thou\) would go unseen\. More readings on the same lines, under the same edge, would narrow that\./);
  });

  test("what is ruled out is the largest movement of any place, never less than what a line may have moved beside its bow", () => {
    const few = sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 6 * THOU, 8 * THOU), exact("centre", 16, 0)])]);
    for (const once of [few, sheet([sweep(bowed(0.2), lineNamed("centre"))])]) {
      const found = determined(compareSurveys(adjustTogether(NECK, [once, once])));
      const mostOf = ({ low95, high95 }: { readonly low95: number; readonly high95: number }): number => Math.max(-low95, high95);
      for (const line of found.lines) expect(found.mostMm).toBeGreaterThan(line.status === "compared" ? 0.95 * Math.max(mostOf(line.bow), mostOf(line.local)) : NaN);
      expect(found.status === "settled").toBe(found.mostMm < 0.05);
    }
  });

  test("lines read over unlike stretches are not averaged: one bow over the stretch that they have in common, or of the longest line alone", () => {
    const swept = (reliefMm: number, stretches: readonly (readonly [string, number, number])[]): SurveySheet => sheet(stretches.map(([line, from, to]) => along(line, Array.from({ length: to - from + 1 }, (_, at) => from + at).map((fret) => exact(line, fret, gapMm(bowed(reliefMm), lineNamed(line), [from, to], fret))))));
    const change = (stretches: readonly (readonly [string, number, number])[]): Extract<Comparison, { bow: unknown }> => determined(compareSurveys(adjustTogether(NECK, [swept(0.5, stretches), swept(0.2, stretches)])));
    const share = (from: number, to: number): number => ((place(to).xMm - place(from).xMm) / (place(22).xMm - place(1).xMm)) ** 2;
    const apart = change([["bass", 1, 11], ["treble", 5, 16]]);
    expect(apart.bowOver).toMatchObject({ from: { fret: 1 }, to: { fret: 11 }, lines: ["bass"] });
    expect(Math.abs(apart.bow.value + 0.3 * share(1, 11))).toBeLessThan(3 * apart.bow.u);
    expect(apart.describe()).toContain(" over frets 1 to 11 (bass). Moved, almost sure.");
    const common = change([["bass", 1, 16], ["treble", 1, 12]]);
    expect(common.bowOver).toMatchObject({ from: { fret: 1 }, to: { fret: 12 }, lines: ["bass", "treble"] });
    expect(Math.abs(common.bow.value + 0.3 * share(1, 12))).toBeLessThan(3 * common.bow.u);
    expect(common.describe()).toContain("Nearly all of it is an even bow of the whole neck");
  });

  test("a fret that was raised is told as that fret, and not as movement of the neck", () => {
    const found = determined(compared(read(bowed(0.2), "before"), read(raised, "after")));
    expect(found.frets.map(({ line, fret }) => `${fret} ${line}`)).toEqual(["9 centre"]);
    expect(found.frets[0]?.up.value).toBeGreaterThan(0.05);
    expect(found.status).toBe("fret moved");
    expect(found.describe()).not.toContain("settled");
    expect(found.describe()).toMatch(/the line of the neck has not moved since "before" by more than 0\.0\d mm \(\d\.\d thou\), but fret 9 stands otherwise than before\./);
    expect(found.surveys.flatMap(({ sheet: { seating } }) => seating)).toEqual([]);
    expect(found.describe()).toMatch(/^Look at fret 9 of test neck \(centre line\) before you go on: it stands otherwise than before\.\n/);
    expect(found.describe()).toContain("Fret 9, centre line, stands higher over the neck line than before, by 0.");
  });

  test("unlike states are said before anything is made of the movement, missing ones as taken alike", () => {
    const found = compared(read(bowed(0.2), "a", { rod: "neutral", strings: "off", humidityPercent: 40 }), read(bowed(0.3), "b", { rod: "a quarter turn on", strings: "Off", humidityPercent: 55 }));
    const said = found.describe();
    expect(found.states.unlike).toEqual(["rod: neutral then, a quarter turn on now", "humidity: 40 % then, 55 % now"]);
    expect(said).toContain("The two surveys were taken in unlike states, which may be what moved it: rod: neutral then, a quarter turn on now; humidity: 40 % then, 55 % now.");
    expect(said).toContain("Strings were Off both times.");
    expect(said).toContain("Not stated both times, taken as alike: support, frets.");
  });

  test("lines that one survey did not read are named; with none in common nothing is made up", () => {
    const both = (lines: readonly string[]): SurveySheet => sheet(lines.map((line) => sweep(bowed(0.2), lineNamed(line))));
    const some = determined(compared(both(["centre", "bass"]), both(["centre"])));
    expect(some.lines.find(({ status }) => status === "not compared")).toEqual({ status: "not compared", line: "bass", need: "read the bass line again as it was read before" });
    const none = compared(both(["bass"]), both(["centre"]));
    expect(none.status).toBe("undetermined");
    expect(none.describe()).toMatch(/^test neck: the two surveys cannot be compared\. To compare them: no line was read in both \(bass then, centre now\): read bass again as it was read before\./);
  });

  test("of three surveys each is compared with the one before it; a survey that is none is refused", () => {
    const together = adjustTogether(NECK, [bowed(0.4), bowed(0.2), bowed(0.2)].map((truth, index) => read(truth, `stage ${index}`)));
    expect(comparisons(together).map(({ status }) => status)).toEqual(["moved", "settled"]);
    expect(() => compareSurveys(together, 0, 3)).toThrow("Cannot compare survey 1 with survey 4: expected two of the 3 surveys");
  });
});
