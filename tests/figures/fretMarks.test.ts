import { describe, expect, test } from "vitest";
import { fretReport, neckFigure } from "neck-survey";
import type { JsonObject } from "neck-survey";
import { surveyed, TWO_HIGH, withBeside } from "../frets/bench.js";

const survey = surveyed(TWO_HIGH);
const report = fretReport(survey);
const figure = neckFigure(survey, { frets: report.frets });

function annotationTexts(layout: JsonObject): readonly string[] {
  const { annotations } = layout;
  return Array.isArray(annotations) ? annotations.map((one: JsonObject) => (typeof one["text"] === "string" ? one["text"] : "")) : [];
}

function forms(data: readonly JsonObject[]): readonly string[] {
  return data.flatMap(({ marker }) => (typeof marker === "object" && marker !== null && "symbol" in marker && Array.isArray(marker.symbol) ? marker.symbol.filter((symbol: string) => symbol.endsWith("-open")) : []));
}

describe("frets marked on the drawing of a neck", () => {
  test("by letter and by form, on the lines on which they are off", () => {
    expect(annotationTexts(figure.layout).filter((text) => text === "H")).toHaveLength(3);
    expect(annotationTexts(figure.layout).filter((text) => text === "E")).toHaveLength(1);
    expect([...forms(figure.data)].sort((a, b) => a.localeCompare(b))).toEqual(["square-open", "square-open", "square-open", "triangle-up-open"]);
  });

  test("are explained in the notes and told in words to who cannot see them, at every width", () => {
    for (const { layout } of [figure, ...figure.narrower]) expect(annotationTexts(layout).join(" ")).toMatch(/E, triangle: high at one end; H,( |<br>)square: high\./);
    expect(figure.alt).toContain("Marked: fret 7 treble (E, triangle: high at one end); fret 14 bass and centre and treble (H, square: high).");
  });

  test("a fret that was only rocked is marked where it stands over the drawn neck line", () => {
    const rocked = surveyed(TWO_HIGH.replace(/^14 .*\n/m, ""));
    expect(rocked.heights.some(({ place }) => place.fret === 14)).toBe(false);
    expect(annotationTexts(neckFigure(rocked, { frets: fretReport(rocked).frets }).layout).filter((text) => text === "H")).toHaveLength(3);
  });

  test("one to be read once more has a question mark; without a report nothing is marked", () => {
    const again = fretReport(withBeside(survey, "7 treble: rocks 2 > tapped > still"));
    expect(annotationTexts(neckFigure(survey, { frets: again.frets }).layout)).toContain("?");
    const bare = neckFigure(survey);
    expect(annotationTexts(bare.layout)).not.toContain("H");
    expect(bare.alt).not.toContain("Marked");
  });
});
