import { describe, expect, test } from "vitest";
import { adjust, bowModel, glueUpAdvice, settlingAdvice } from "neck-survey";
import type { EdgeSetting, GlueUpAdvice, GlueUpQuestion, Measured, NeckState, Survey } from "neck-survey";
import { NECK, along, bowed, exact, gapMm, place, sheet } from "../../survey/bench.js";

const about = (value: number, u = 0.008): Measured => ({ value, u, unit: "mm", low95: value - 1.96 * u, high95: value + 1.96 * u });
/** Read by value under an edge that stands off at both ends. */
function onItsSide(reliefMm: number): readonly EdgeSetting[] {
  return NECK.lines.map((line) => along(line.name, Array.from({ length: 22 }, (_, index) => exact(line.name, index + 1, 4 + gapMm(bowed(reliefMm), line, [1, 22], index + 1)))));
}

/** Two bars sighted over the outermost lines at frets 1 and 22: the rise of the far bar's treble end. */
const bars = (riseMm: number): EdgeSetting => ({
  label: "the sighting bars", tool: { name: "sightingBars", kind: "sightingBars", lengthMm: 300, straightnessToleranceMm: 0.1 }, surface: "fretTops",
  path: { kind: "diagonal", from: { line: "bass", at: place(1) }, to: { line: "treble", at: place(22) } }, readings: [{ ...exact("", 22, riseMm, 0.1), line: "" }],
});
/** The neck's own gluing face, looking up, under an edge: a gap in the middle is forward bow. */
const face = (reliefMm: number): Survey => adjust(NECK, { ...sheet(NECK.lines.map((line) => ({ ...along(line.name, [exact(line.name, 1, 0), exact(line.name, 8, reliefMm), exact(line.name, 22, 0)]), surface: "glueFace" as const }))) });
const looked = (reliefMm: number, riseMm = 0, faceMm = 0.02): GlueUpAdvice =>
  glueUpAdvice(adjust(NECK, { ...sheet([...onItsSide(reliefMm), bars(riseMm)]), state: { support: "free board on its edge" } }), { settled: true, neckFace: face(faceMm) });

const board = (reliefMm: number, state: NeckState = { support: "free board on its edge" }, question: GlueUpQuestion = {}): GlueUpAdvice =>
  glueUpAdvice(adjust(NECK, { ...sheet(onItsSide(reliefMm)), state }), question);

describe("before glue-up", () => {
  test("a board that was looked at in full and lies within the limits may be glued", () => {
    const advice = looked(-1.2);
    expect(advice.readIfUnsure).toEqual([]);
    expect(advice.decision).toBe("glue it");
    expect(advice.probability).toBeGreaterThan(0.95);
  });

  test("twist and the neck's own face decide too", () => {
    expect(looked(-1.2, 6)).toMatchObject({ decision: "flatten first" });
    expect(looked(-1.2, 6).reasons.join(" ")).toContain("turned up");
    const bowedFace = looked(-1.2, 0, 0.6);
    expect(bowedFace).toMatchObject({ decision: "flatten first", headline: "test neck: plane the neck's gluing face flat first, then read both again." });
    expect(bowedFace.numbers?.faceBow?.value ?? NaN).toBeGreaterThan(0.4); // a gap in the middle of a face that looks up is forward bow
  });

  test("a neck that is glued already is not a board", () => {
    const glued = glueUpAdvice(adjust(NECK, { ...sheet(onItsSide(-0.5)), stage: "after glue-up" }));
    expect(glued).toMatchObject({ decision: "read first", headline: expect.stringContaining("glued already") });
  });

  test("within the limit but not looked at in full: not yet, with how it bows and what is not known", () => {
    const advice = board(-1.2);
    expect(advice.decision).toBe("read first");
    expect(advice.probability).toBeUndefined();
    expect(advice.describe()).not.toContain("How sure");
    expect(advice.describe()).toMatch(/The free board: back bow \(middle high\)/);
    expect(advice.readIfUnsure.join(" ")).toMatch(/Twist was not read.*gluing face was not read/);
    expect(advice.assumed.join("; ")).toContain("most bow of a board that is glued as it is");
  });

  test("a board beyond the limit is flattened first, one far beyond it is not glued", () => {
    const limited = { ...NECK, limits: { glueUpBowMaxMm: 0.5 } };
    const of = (reliefMm: number): GlueUpAdvice => glueUpAdvice(adjust(limited, sheet(onItsSide(reliefMm))));
    expect(of(-1.2)).toMatchObject({ decision: "flatten first" });
    expect(of(1.2)).toMatchObject({ decision: "flatten first" });
    expect(of(-3)).toMatchObject({ decision: "do not glue" });
    expect(of(0.1)).toMatchObject({ decision: "read first" });
  });

  test("a board in dry air, or one that still moves, waits", () => {
    expect(board(-0.5, { humidityPercent: 22 })).toMatchObject({ decision: "wait" });
    expect(board(-0.5, {}, { settled: false })).toMatchObject({ decision: "wait" });
    expect(board(-0.5, { humidityPercent: 46 }, { settled: true }).decision).toBe("read first");
  });

  test("the bow model says what remains in the glued neck: a few per cent of the board's own bow", () => {
    const { numbers } = board(-1.2, {}, { model: bowModel(NECK) });
    const after = numbers?.remains?.afterGlueUp;
    // mechanics: a bowed board glued flat keeps EI_b / EI_composite of its bow, 1 to 5 per cent for usual sizes
    const share = (after?.value ?? NaN) / (numbers?.boardBow.value ?? NaN);
    expect(share).toBeGreaterThan(0.005);
    expect(share).toBeLessThan(0.08);
    expect(numbers?.remains?.underStrings.value).toBeGreaterThan(after?.value ?? NaN);
  });

  test("readings that determine nothing give no leave to glue", () => {
    expect(glueUpAdvice(adjust(NECK, sheet([])))).toMatchObject({ decision: "read first" });
  });

  test("cautions: fumes, a shaped caul, dust", () => {
    expect(board(-0.5).describe()).toMatch(/Adhesives give off fumes.*shaped to the board, not on single crowns.*dust.*qualified practice come first/s);
  });
});

describe("after glue-up", () => {
  test("two readings that agree say it has settled", () => {
    const advice = settlingAdvice([{ when: "on release", relief: about(-0.1) }, { when: "next day", relief: about(-0.02) }, { when: "two days later", relief: about(-0.02) }]);
    expect(advice.decision).toBe("it has settled");
    expect(advice.headline).toBe("It has settled: the last two readings agree.");
  });

  test("one that moved goes on settling, and says which way it moved", () => {
    const advice = settlingAdvice([{ when: "on release", relief: about(-0.1) }, { when: "next day", relief: about(0.02) }]);
    expect(advice.decision).toBe("let it settle");
    expect(advice.reasons[0]).toMatch(/^From on release to next day the middle moved 0\.12 mm.* toward forward bow \(middle low\)\.$/);
  });

  test("what one edge shares cancels", () => {
    const rough = [{ when: "a", relief: about(0, 0.03) }, { when: "b", relief: about(0, 0.03) }];
    expect(settlingAdvice(rough, { sharedU: 0.0298 }).probability).toBeGreaterThan(settlingAdvice(rough).probability ?? NaN);
    expect(settlingAdvice(rough).readIfUnsure.join(" ")).toContain("read the middle three times");
  });

  test("what was expected is held against what came", () => {
    const readings = [{ when: "a", relief: about(0.5) }, { when: "b", relief: about(0.5) }];
    expect(settlingAdvice(readings, { expected: about(0.48, 0.05) }).describe()).toContain("This was to be expected");
    expect(settlingAdvice(readings, { expected: about(-0.1, 0.05) }).describe()).toContain("This is not what was expected");
  });

  test("one reading tells nothing of settling", () => {
    expect(() => settlingAdvice([{ when: "a", relief: about(0) }])).toThrow("expected two or more, at different times");
  });
});
