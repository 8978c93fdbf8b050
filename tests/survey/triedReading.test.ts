import { describe, expect, test } from "vitest";
import { adjust } from "neck-survey";
import type { EdgeSetting, GapReading, HeightTerm, NextReading } from "neck-survey";
import { trialsOf } from "../../src/survey/estimation/trials.js";
import { rowVariance } from "../../src/survey/linear/arrow.js";
import { equationsOf } from "../../src/survey/model/equations.js";
import { layoutOf } from "../../src/survey/model/layout.js";
import { CENTRE } from "../../src/survey/model/scatters.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { openReadings, withinReach } from "../../src/survey/openReadings.js";
import { termsForm } from "../../src/survey/terms.js";
import { NECK, along, bowed, exact, interval, leafInterval, gapMm, lineNamed, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

const FEEL_MM = 0.005;
const relief = (from = 1, to = 16, middle = 7): readonly HeightTerm[] => {
  const [a, b, x] = [from, to, middle].map((fret) => place(fret).xMm);
  const t = ((x ?? 0) - (a ?? 0)) / ((b ?? 0) - (a ?? 0));
  return [[a, 1 - t], [b, t], [x, -1]].map(([xMm = NaN, weight = NaN]) => ({ of: "neckLine", line: "centre", xMm, weight }));
};
const over = (fret: number): readonly HeightTerm[] => [{ of: "fretTop", line: "centre", fret, weight: 1 }, { of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: -1 }];
const leaf = (fret: number): GapReading => interval("centre", fret, ...leafInterval(gapMm(bowed(0.2, 16), lineNamed("centre"), [1, 16], fret)));
const edge = (...frets: readonly number[]): EdgeSetting => along("centre", frets.map((fret) => (fret === 1 || fret === 16 ? exact("centre", fret, 0) : leaf(fret))));

function worthwhile(found: NextReading): Extract<NextReading, { status: "worthwhile" }> {
  if (found.status !== "worthwhile") throw new RangeError("expected a reading that is worth taking");
  return found;
}

describe("a reading that is tried", () => {
  test("says what the reading says when it is taken: mean and variance of what is asked, and the evidence", () => {
    const settings = [edge(1, 7, 16)];
    const usable = withinReach(NECK, usableReadings(NECK, sheet(settings)));
    const layout = layoutOf(usable);
    const open = openReadings(NECK, usable, { terms: relief(), hand: { feelMm: FEEL_MM }, survey: 0 });
    const of = open.findIndex(({ tool, at }) => tool === "straightedge" && at.fret === 4);
    const [lowMm, highMm] = leafInterval(gapMm(bowed(0.2, 16), lineNamed("centre"), [1, 16], 4));
    const candidate = open[of];
    if (candidate === undefined) throw new RangeError("expected fret 4 to be open");
    const rows = open.map(({ form, noiseMm }) => ({ row: form(layout), noiseMm }));
    const tried = trialsOf(layout, equationsOf(NECK, usable, layout, FEEL_MM), rows, 1)(CENTRE)?.after({ of, lowMm: lowMm - candidate.knownMm, highMm: highMm - candidate.knownMm });

    // with the reading in the sheet one unread fret fewer is held to "no gap below nothing": the places stay those of the sheet without it
    const more = { ...usable, settings: usable.settings.map((setting) => ({ ...setting, readings: [...setting.readings, { ...leaf(4), gap: { kind: "interval" as const, lowMm, highMm, endsUMm: 0.0023 } }] })) };
    const without = equationsOf(NECK, usable, layout, FEEL_MM).filter(({ from }) => from.kind === "contact");
    const taken = trialsOf(layout, [...equationsOf(NECK, more, layout, FEEL_MM).filter(({ from }) => from.kind !== "contact"), ...without], [], 1)(CENTRE)?.before;
    if (tried === undefined || taken === undefined) throw new Error("expected both to settle");
    const asked = termsForm(relief())(layout);
    const value = (mean: Float64Array): number => asked.index.reduce((sum, at, k) => sum + (asked.coefficient[k] ?? 0) * (mean[at] ?? 0), 0);
    const [sd, otherSd] = [tried, taken].map(({ factor }) => Math.sqrt(rowVariance(factor, asked)));
    expect(sd).toBeCloseTo(otherSd ?? NaN, 3);
    expect(Math.abs((sd ?? NaN) / (otherSd ?? NaN) - 1)).toBeLessThan(0.05);
    expect(Math.abs(value(tried.mean) - value(taken.mean))).toBeLessThan(0.1 * (sd ?? NaN));
    expect(Math.abs(tried.logEvidence - taken.logEvidence)).toBeLessThan(0.2);
  });

  test("may lie beyond what was read, as far as the edge may reach, and is then said to; the quick estimate does not look there", () => {
    const survey = adjust(NECK, sheet([edge(1, 4, 7)]));
    const found = worthwhile(survey.nextReading(relief(1, 7, 4), "tried"));
    expect(found).toMatchObject({ tool: "straightedge", beyond: true });
    expect(found.at.xMm).toBeGreaterThan(place(7).xMm);
    expect(found.at.xMm).toBeLessThan(place(1).xMm + 450);
    const quick = survey.nextReading(relief(1, 7, 4));
    expect(quick.status === "worthwhile" ? quick.at.xMm : 0).toBeLessThan(place(7).xMm);
  });

  test("gains over what is known now, on the line asked for", () => {
    const survey = adjust(NECK, sheet([edge(1, 7, 16), { ...edge(1, 7, 16), label: "bass", path: { kind: "along", line: "bass" }, readings: edge(1, 7, 16).readings.map((one) => ({ ...one, line: "bass" })) }]));
    const found = worthwhile(survey.nextReading(relief(), "tried"));
    expect(found.line).toBe("centre");
    expect(found.uThenMm).toBeLessThan(0.92 * found.uNowMm);
    expect(found.uNowMm).toBeCloseTo(survey.linear(relief()).u, 12);
  });

  test("is the quick estimate where much was read", () => {
    const survey = adjust(NECK, sheet(NECK.lines.map((line) => sweep(bowed(0.2), line))));
    expect(survey.nextReading(relief(), "tried")).toEqual(survey.nextReading(relief()));
  });

  test("takes nothing off a doubt between explanations that foresee it alike: a raised board, or frets that are not seated", () => {
    const raised: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.07 : 0);
    const survey = adjust(NECK, sheet([sweep(raised, lineNamed("centre"))]));
    const found = survey.nextReading(over(9), "tried");
    expect(found.uNowMm).toBeGreaterThan(0.03);
    const { uThenMm = NaN } = found.status === "worthwhile" ? found : { ...found.best };
    // the likeliest explanation alone said 0.92 of it, for a rocker over fret 7
    expect(uThenMm / found.uNowMm).toBeGreaterThan(0.98);
    expect(uThenMm / found.uNowMm).toBeLessThan(1.02);
  });

  test("of a fret in doubt is on the spot: the rocker over it, or its gap", () => {
    const survey = adjust(NECK, sheet([edge(1, 4, 7, 10, 16)]));
    const found = worthwhile(survey.nextReading(over(5), "tried"));
    expect(found.at.fret).toBe(5);
    expect(found.uThenMm).toBeLessThan(0.7 * found.uNowMm);
  });
});
