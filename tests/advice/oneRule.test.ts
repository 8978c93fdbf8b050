import { describe, expect, test } from "vitest";
import { rodAdvice } from "../../src/advice/rod/rodAdvice.js";
import { shipReport } from "../../src/advice/ship/ship.js";
import type { ShipCheck } from "../../src/advice/ship/judged.js";
import { wantedRelief } from "../../src/shape/wantedRelief.js";
import { fretDistanceMm } from "../../src/neck/frets.js";
import type { Neck } from "../../src/neck/neck.js";
import { readBenchText } from "../../src/readings/benchText.js";
import { adjust } from "../../src/survey/adjust.js";
import type { Survey } from "../../src/survey/survey.js";
import type { Measured } from "../../src/units/measured.js";
import { valueOrThrow } from "../../src/units/problem.js";
import { inventedNeckFile } from "./levelPlan/surveyed.js";

/** One line is read in a moment. */
const neckWith = (limits: Readonly<Record<string, unknown>> = {}): Neck => inventedNeckFile({ lines: { centre: { share: 0.5 } }, limits });
const NECK = neckWith();
const FRETS = [1, 4, 7, 9, 12, 16, 22];

/** An even bow from fret 1 to 22, strings off. */
function bare(mm: number, neck: Neck = NECK): Survey {
  const x = (fret: number): number => fretDistanceMm(neck.scaleLengthMm, fret);
  const rows = FRETS.map((fret) => {
    const t = (x(fret) - x(1)) / (x(22) - x(1));
    const gap = `${(4 * Math.max(mm, 0) * t * (1 - t) + 4 * Math.max(-mm, 0) * (1 - 4 * t * (1 - t)) * 0.25).toFixed(4)}mm±0.004mm`;
    return `${fret} ${gap}`;
  });
  return adjust(neck, valueOrThrow(readBenchText(neck, `rod: neutral\nstrings: off\nfret centre\n${rows.join("\n")}\n`, { source: "bench" }), "the readings"));
}

const about = (value: number): Measured => ({ value, u: 0.01, unit: "mm", low95: value - 0.02, high95: value + 0.02 });
const checkOf = (survey: Survey, what: string, strings?: Measured): ShipCheck | undefined => shipReport(survey, strings === undefined ? {} : { underStrings: strings }).checks.find((one) => one.what.startsWith(what));
const isTurned = (decision: string): boolean => decision.startsWith("turn") || decision === "not by this rod";

describe("one question, one rule: is this neck straight enough", { timeout: 60_000 }, () => {
  test.each([-0.2, -0.12, -0.08, 0, 0.08, 0.12, 0.2, 0.28])("a bare neck in a bow of %d mm: what rod advice sends to be turned, the card does not pass, nor the other way round", (mm) => {
    for (const neck of [NECK, neckWith({ bareBowMax: "0.25 mm" })]) {
      const survey = bare(mm, neck);
      const rod = rodAdvice(survey);
      const straight = checkOf(survey, "straightness as it lies");
      if (isTurned(rod.decision)) expect(straight?.state).not.toBe("pass");
      if (straight?.state === "fail") expect(rod.decision).not.toBe("leave the rod");
      if (straight?.state === "pass") expect(rod.decision).toBe("leave the rod");
    }
  });

  test("both say the limit in the same words, common practice where it is not stated", () => {
    const survey = bare(0.2);
    expect(isTurned(rodAdvice(survey).decision)).toBe(true);
    expect(checkOf(survey, "straightness as it lies")).toMatchObject({ state: "fail", wanted: "straight within 0.10 mm (3.9 thou) either way" });
    expect(rodAdvice(survey).describe()).toContain("Wanted: straight within 0.10 mm (3.9 thou) either way: a neck that goes out bare is to be straight.");
    const assumed = "most bow, either way, of a neck that goes out bare: 0.10 mm (3.9 thou) (common practice)";
    expect([rodAdvice(survey).assumed, shipReport(survey).assumed].every((all) => all.includes(assumed))).toBe(true);
    const stated = bare(0.2, neckWith({ bareBowMax: "0.25 mm" }));
    expect([rodAdvice(stated).decision, checkOf(stated, "straightness as it lies")?.state, shipReport(stated).assumed.includes(assumed)]).toEqual(["leave the rod", "pass", false]);
  });

  test.each([-0.2, 0, 0.3])("strings reckoned with, a bow of %d mm: both judge the relief under strings, and neither the bare neck", (mm) => {
    const survey = bare(mm);
    const strings = about(0.25);
    const rod = rodAdvice(survey, { strings });
    const under = about((rod.numbers?.underStrings.value ?? NaN));
    expect(checkOf(survey, "straightness as it lies", under)).toBeUndefined();
    const state = checkOf(survey, "relief under strings", under)?.state;
    if (isTurned(rod.decision)) expect(state).not.toBe("pass");
    if (state === "pass") expect(rod.decision).toBe("leave the rod");
    expect(rod.describe()).toContain(`Wanted: ${wantedRelief(survey, true).words()}, common practice under strings (no source; a bass is often given more), as the neck file states no limits of yours.`);
    const own = { ...survey, neck: { ...survey.neck, limits: { reliefMinMm: 0.15, reliefMaxMm: 0.4 } } };
    expect(rodAdvice(own, { strings }).describe()).toContain(`Wanted: ${wantedRelief(own, true).words()}, the shop's limits under strings.`);
  });
});
