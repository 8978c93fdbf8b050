import { describe, expect, test } from "vitest";
import { comparisonFigure } from "../../src/figures/comparisonFigure.js";
import type { Json } from "../../src/figures/figure.js";
import type { Comparison } from "../../src/shape/comparisonResult.js";
import type { LineChange } from "../../src/shape/lineChange.js";
import { normalMm } from "../../src/units/measured.js";
import { fretPlace, survey } from "./handmade.js";
import { rounded } from "./rounded.js";

type Compared = Extract<Comparison, { bow: unknown }>;

/** Down by `bowMm` in the middle, between frets 1 and 16. */
function change(line: string, bowMm: number, uMm: number): LineChange {
  const [from, to] = [fretPlace(1), fretPlace(16)];
  const shares = Array.from({ length: 13 }, (_, index) => index / 12);
  const even = shares.map((t) => 4 * t * (1 - t));
  return {
    status: "compared", line, from: { ...from, fret: 1 }, to: { ...to, fret: 16 }, reached: true, bow: normalMm(bowMm, uMm), local: normalMm(0, 0.004), localAt: { ...fretPlace(5), fret: 5 }, localMostMm: 0.01, bowShare: 1,
    xMm: shares.map((t) => from.xMm + t * (to.xMm - from.xMm)), changeMm: even.map((share) => -bowMm * share), uMm: even.map((share) => uMm * share),
  };
}

const moved: Compared = {
  status: "moved", neck: survey.neck.name, earlier: { stage: "glue-up", date: "2026-03-07" }, later: { stage: "fretted", date: "2026-03-14" }, surveys: [survey, survey],
  bow: normalMm(0.05, 0.01), bowOver: { from: { ...fretPlace(1), fret: 1 }, to: { ...fretPlace(16), fret: 16 }, lines: ["bass", "centre", "treble"] }, byBow: true, mostMm: 0.08, chanceUnmoved: 0.0001, frets: [], states: { same: [], unlike: [], differs: [], unknown: [] }, describe: () => "",
  lines: [change("bass", 0.06, 0.012), change("centre", -0.05, 0.012), change("treble", 0.01, 0.012)],
};

function texts(value: Json | readonly Json[] | undefined): readonly string[] {
  if (typeof value === "string") return [value];
  if (Array.isArray(value)) return value.flatMap(texts);
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(texts) : [];
}

describe("comparisonFigure", () => {
  test("draws three lines as in the snapshot", () => {
    expect(rounded(comparisonFigure(moved))).toMatchSnapshot();
  });

  test("says which way each line moved, word and bracket, both units, or that nothing is sure", () => {
    const said = texts(comparisonFigure(moved).layout["annotations"]).join("\n");
    expect(said).toContain("● bass: toward forward bow (middle low), 0.06 mm, give or take 0.02 (2.4 thou, give or take 0.9)");
    expect(said).toContain("■ centre: toward back bow (middle high), 0.05 mm");
    expect(said).toContain("▲ treble: no sure change of bow; at most 0.03 mm (1.3 thou)");
    expect(said.replaceAll("<br>", " ")).toContain("Ash and rosewood, no. 3: changes from glue-up (2026-03-07) to fretted (2026-03-14)");
  });

  test("names both surveys in its title, the earlier first, or what of them was stated", () => {
    const title = (earlier: Comparison["earlier"], later: Comparison["later"]): string => comparisonFigure({ ...moved, earlier, later }).alt.split(". ●")[0] ?? "";
    const [none, glued, strung] = [{ stage: "", date: "" }, { stage: "after glue-up", date: "2026-05-04" }, { stage: "strung", date: "" }];
    expect(title(glued, strung)).toContain("changes from after glue-up (2026-05-04) to strung");
    expect(title(none, strung)).toContain("changes from the earlier survey to strung");
    expect(title(glued, none)).toContain("changes since after glue-up (2026-05-04)");
    expect(title(none, none)).toContain("changes since the earlier survey");
  });

  test("is thick only where the band leaves no change out, so that colour alone means nothing", () => {
    const sure = comparisonFigure(moved).data.filter((trace) => trace["legendgroup"] === "sure");
    const drawn = sure.map((trace) => (Array.isArray(trace["y"]) ? trace["y"].filter((y) => typeof y === "number") : []).length);
    expect(drawn).toEqual([11, 11, 0]);
  });

  test("every place answers the pointer in both units", () => {
    const hovers = comparisonFigure(moved).data.flatMap((trace) => texts(trace["hovertext"]));
    expect(hovers).toHaveLength(39);
    expect(hovers.filter((text) => text.includes("an end of the chord"))).toHaveLength(6);
    for (const text of hovers.filter((one) => !one.includes("an end of the chord"))) expect(text).toMatch(/(went (down|up)|no sure change, best estimate (down|up)) by 0\.\d\d mm, give or take 0\.\d\d \(\d\.\d thou, give or take \d\.\d\)/);
  });

  test("puts thou first where asked, leaves lines out where asked, and refuses what it cannot draw", () => {
    const figure = comparisonFigure(moved, { order: "thou first", lines: ["bass"], widthPx: 480 });
    const said = texts(figure.layout["annotations"]).join(" ").replace(/<br>/g, " ");
    expect(said).toContain("2.4 thou, give or take 0.9 (0.06 mm, give or take 0.02)");
    expect(said).not.toContain("▲ treble");
    expect(() => comparisonFigure(moved, { lines: ["left"] })).toThrow("Cannot draw line left: the lines of this neck are bass, centre, treble");
    expect(() => comparisonFigure(moved, { widthPx: 100 })).toThrow("expected a width of 480 to 1600 px, got 100");
  });

  test("what a user typed takes no effect as markup", () => {
    const said = texts(comparisonFigure({ ...moved, neck: "<b>bold</b>" }).layout["annotations"]).join(" ");
    expect(said).toContain("&lt;b&gt;bold&lt;/b&gt;");
    expect(said).not.toContain("<b>bold");
  });

  test("two surveys that cannot be compared are drawn as just that, with what is missing", () => {
    const nothing: Comparison = { status: "undetermined", neck: moved.neck, earlier: moved.earlier, later: moved.later, surveys: moved.surveys, need: "read the bass line again", states: moved.states, describe: () => "" };
    const said = texts(comparisonFigure(nothing).layout["annotations"]).join(" ");
    expect(said).toContain("The two surveys cannot be compared yet");
    expect(said).toContain("read the bass line again");
  });
});
