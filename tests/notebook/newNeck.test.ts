import { JSDOM } from "jsdom";
import { describe, expect, test } from "vitest";
import { readNeck } from "../../src/neck/neckFile.js";
import { benchSheet } from "../../src/notebook/benchSheet.js";
import { newNeck } from "../../src/notebook/newNeck.js";
import type { NewNeck, NewNeckRequest } from "../../src/notebook/newNeck.js";
import { readReadingFiles } from "../../src/readings/readingFiles.js";
import { valueOrThrow } from "../../src/units/problem.js";

const request: NewNeckRequest = { name: "Number 12", scaleLength: "25.5 in", frets: 22, bodyJoint: 16 };

function made(of: NewNeckRequest): Extract<NewNeck, { status: "made" }> {
  const neck = newNeck(of, "2026-03-02");
  if (neck.status === "refused") throw new Error(neck.message);
  return neck;
}

const textOf = (neck: ReturnType<typeof made>, name: string): string => neck.files.find((file) => file.name === name)?.text ?? "";

describe("the files of a new neck", () => {
  test("the neck file reads back as it was said", () => {
    const neck = valueOrThrow(readNeck(textOf(made(request), "neck.json")), "neck");
    expect(neck).toMatchObject({ name: "Number 12", frets: 22, bodyJoint: 16 });
    expect(neck.scaleLengthMm).toBeCloseTo(647.7, 9);
  });

  test("the readings sheet has a row for every gap and every rocking, and says so when all are empty", () => {
    const neck = valueOrThrow(readNeck(request), "neck");
    const sheet = textOf(made(request), "readings.csv");
    expect(sheet.trimEnd().split("\r\n")).toHaveLength(1 + 3 * 22 + 3 * 20);
    const outcome = readReadingFiles(neck, [{ source: "readings.csv", text: sheet }]);
    expect(outcome).toMatchObject({ status: "refused", problems: [{ found: "no reading", repair: "an empty gap is not measured" }] });
  });

  test("a part-filled readings sheet is read: gaps as gaps, the rocker's marks as marks", () => {
    const neck = valueOrThrow(readNeck(request), "neck");
    const filled = textOf(made(request), "readings.csv").split("\r\n").map((row) => {
      const cells = row.split(",");
      const [line, tool, at] = [cells[4], cells[6], cells[8]];
      if (line === "centre" && tool === "straightedge" && (at === "1" || at === "16")) cells[9] = "touch";
      if (line === "centre" && tool === "straightedge" && at === "7") cells[9] = "9";
      if (line === "bass" && tool === "rocker" && at === "5") cells[9] = "rocks=2";
      return cells.join(",");
    }).join("\r\n");
    const [sheet, ...others] = valueOrThrow(readReadingFiles(neck, [{ source: "readings.csv", text: filled }]), "readings");
    expect(others).toHaveLength(0);
    expect(sheet?.settings.map(({ readings }) => readings.map(({ place, written }) => [place.label, written]))).toEqual([[["1", "touch"], ["7", "9 thou"], ["16", "touch"]]]);
    expect(sheet?.rockers.map(({ frets }) => frets)).toEqual([[4, 5, 6]]);
  });

  test("the notebook is a notebook of the project's kernel, without outputs, and its table is a row a fret", () => {
    const notebook = JSON.parse(textOf(made(request), "Number 12.ipynb")) as { cells: { cell_type: string; source: string[]; outputs?: unknown[] }[]; metadata: { kernelspec: { name: string } } };
    expect(notebook.metadata.kernelspec.name).toBe("tslab");
    expect(notebook.cells.filter(({ cell_type }) => cell_type === "code").every(({ outputs }) => outputs?.length === 0)).toBe(true);
    const table = notebook.cells.map(({ source }) => source.join("")).find((source) => source.includes("takeReadings(neck, `")) ?? "";
    expect(table.match(/^ {2}\d+ .*-$/gm)).toHaveLength(22);
  });

  test.each([
    ["a/b: c*?", "a-b- c"], ["../../etc", "etc"], ["NUL", "neck NUL"], ["  Ünïcode №7 ", "Ünïcode -7"], ["ends in dots...", "ends in dots"],
  ])("%j gets a folder that every system takes", (name, folder) => {
    expect(made({ ...request, name }).folder).toBe(folder);
  });

  test.each([
    ["=1+1", "a spreadsheet takes a text that begins so for a formula"],
    ["***", "expected at least one letter or digit"],
    ["", "name"],
  ])("the name %j is refused in a sentence", (name, sentence) => {
    expect(newNeck({ ...request, name }, "2026-03-02")).toMatchObject({ status: "refused", message: expect.stringContaining(sentence) });
  });

  test("a scale length without its unit is refused with the likely repair", () => {
    expect(newNeck({ ...request, scaleLength: "25.5" }, "2026-03-02")).toMatchObject({ status: "refused", message: expect.stringContaining('write "25.5 in"') });
  });
});

describe("the notebook of a new neck", () => {
  const { bodyJoint: _, ...jointless } = request;

  test.each([
    [request, "  fret  centre\n  1     touch\n  7     -\n  16    touch\n"],
    [{ ...request, bodyJoint: 14, zeroFret: true }, "  fret  centre\n  0     touch\n  6     -\n  14    touch\n"],
    [jointless, "  fret  centre\n  1     touch\n  9     -\n  22    touch\n"],
  ])("%j: its first cell waits for one leaf, at the fret nearest midway", (of, table) => {
    const { files, notebook } = made(of);
    const cells = (JSON.parse(files.find(({ name }) => name === notebook)?.text ?? "") as { readonly cells: readonly { readonly cell_type: string; readonly source: readonly string[] }[] }).cells;
    expect(cells.find(({ cell_type }) => cell_type === "code")?.source.join("")).toContain(`quickLook(neck, \`\n${table}\`);`);
  });
});

describe("the bench sheet", () => {
  test("has a row a fret with its distance from the nut, and a place to tick for every rocking", () => {
    const { html } = benchSheet(valueOrThrow(readNeck(request), "neck"));
    // twelfth fret at half the scale, by the definition of equal temperament
    expect(html).toContain('<th scope="row">12</th><td class="from">323.85</td><td class="from">12.750</td>');
    expect(html.match(/still &ensp;<span[^>]*><\/span>rocks /g)).toHaveLength(3 * 20);
    expect(html).not.toMatch(/<script|https?:/);
  });

  test("has ticks for a free board, and lines for twist, the seating log and notes, fewer where there are many frets", () => {
    const sheetOf = (frets: number): Document => new JSDOM(benchSheet(valueOrThrow(readNeck({ ...request, frets }), "neck")).html).window.document;
    const [usual, many] = [sheetOf(22), sheetOf(36)];
    expect(usual.querySelector(".state")?.textContent).toContain("free board on its sidefree board on a bench plate");
    expect(usual.querySelector(".twist")?.textContent).toMatch(/^Twist, sighting bars: fret\s+against fret\s+:/);
    expect([usual, many].map((sheet) => [...sheet.querySelectorAll(".bottom section")].map((section) => section.querySelectorAll(".line").length))).toEqual([[4, 4], [1, 1]]);
  });

  test("shows nothing of a name as markup", () => {
    const { html } = benchSheet(valueOrThrow(readNeck({ ...request, name: "<img src=x onerror=alert(1)>" }), "neck"));
    expect(html).not.toContain("<img");
  });
});
