import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readNeck } from "../../src/neck/neckFile.js";
import type { Neck } from "../../src/neck/neck.js";
import { problemSentence, valueOrThrow } from "../../src/units/problem.js";

const SEED = 20_260_501;
const least = { name: "first", scaleLength: "25 in", frets: 22 };

function neckOf(input: unknown): Neck {
  return valueOrThrow(readNeck(input, "neck.json"), "neck.json");
}

function complaints(input: unknown): readonly string[] {
  const outcome = readNeck(input, "neck.json");
  return outcome.status === "read" ? [] : outcome.problems.map(problemSentence);
}

describe("readNeck", () => {
  test("takes the three needed keys and lists every default", () => {
    const neck = neckOf(least);
    expect(neck.scaleLengthMm).toBeCloseTo(635, 12);
    expect(neck.widthMm).toEqual({ nut: 43, lastFret: 56 });
    expect(neck.lines.map((line) => line.name)).toEqual(["bass", "centre", "treble"]);
    expect(neck.bodyJoint).toBeUndefined();
    expect(neck.assumed).toEqual([
      "width of the board: not given, taken as 43 mm (1.693 in) at the nut and 56 mm (2.205 in) at the last fret (common practice, no source)",
      "fingerboard radius: not given, taken as 304.8 mm (12 in) (common practice, no source)",
      "lines: not given, taken as bass, centre and treble at 0.1, 0.5 and 0.9 of the width from the bass edge (common practice, no source)",
      "zero fret: not stated, taken as none: fret tops are counted from fret 1 (common practice, no source)",
    ]);
  });

  test("takes no guitar's widths for a scale over 30 in", () => {
    const bass = neckOf({ ...least, scaleLength: "34 in" });
    expect(bass.widthMm).toEqual({ nut: 42, lastFret: 62 });
    expect(bass.assumed[0]).toBe("width of the board: not given, taken as 42 mm (1.654 in) at the nut and 62 mm (2.441 in) at the last fret (common practice, no source)");
    expect(neckOf({ ...least, scaleLength: "760 mm" }).widthMm).toEqual({ nut: 43, lastFret: 56 });
  });

  test("reads every key of the file", () => {
    const neck = neckOf({
      ...least, zeroFret: true, bodyJoint: 16, fingerboardRadius: { nut: "10 in", lastFret: "flat" },
      lines: { treble: { offset: "18 mm" }, bass: { share: 0.1 } }, widths: { nut: "43 mm", lastFret: 56 },
      thicknesses: { board: "6 mm", total: { 12: "22 mm", "1": 20.5, "@400mm": 23 } },
      woods: { board: "ebony", neck: { name: "maple", modulusMPa: 12500, densityKgM3: 700, moisturePercent: 8 } },
      slots: { width: "0.023 in", depth: 2.3, ends: "blind" }, tangs: { thickness: "0.020 in", cutBack: "2 mm", contactDepth: 1.6 }, crown: { height: "1.1 mm" },
      rod: { works: "one way", from: 10, to: 420, depth: 7, spacing: 6, lead: 0.8, channelWidth: 6, channelDepth: 9, moreRelief: "anticlockwise", wrench: "4 mm hex" },
      strings: { each: [{ gauge: "0.046 in", wound: true, core: "0.018 in", note: "E2" }, { gauge: "0.010 in", frequencyHz: 329.6, tensionN: 72 }], heightAtNut: 0.4, heightAtLastFret: { bass: 2.2, treble: 1.8 }, spreadAtNut: 35, spreadAtSaddle: 52 },
      limits: { reliefMin: 0.1, reliefMax: 0.3, bareBowMax: 0.1, fretHigh: 0.03, crownMin: 0.75, glueUpBowMax: 3, twistMax: 0.3, levelTolerance: 0.015, fallAway: 0.2, reseatMax: 3 },
    });
    expect(neck.lines).toEqual([{ name: "bass", share: 0.1 }, { name: "treble", offsetMm: 18 }]);
    expect(neck.fingerboardRadiusMm).toEqual({ nut: 254, lastFret: Number.POSITIVE_INFINITY });
    expect(neck.thickness?.total.map((size) => size.at)).toEqual(["1", "12", "@400mm"]);
    expect(neck.thickness?.board.map((size) => size.mm)).toEqual([6, 6]);
    expect(neck.woods?.board).toEqual({ name: "ebony" });
    expect(neck.slots?.widthMm).toBeCloseTo(0.5842, 12);
    expect(neck.tangs?.cutBackMm).toBe(2);
    expect(neck.crownHeightMm).toBe(1.1);
    expect(neck.rod).toMatchObject({ works: "one way", fromMm: 10, toMm: 420, leadMmPerTurn: 0.8, moreRelief: "anticlockwise" });
    expect(neck.strings?.each?.map((each) => each.wound)).toEqual([true, false]);
    expect(neck.limits?.reseatMax).toBe(3);
    expect(neck.assumed).toEqual(["strings: 1 of them not said to be wound, taken as plain"]);
  });

  test.each<readonly [string, unknown, readonly string[]]>([
    ["inches without their unit", { ...least, scaleLength: 25 }, ['neck.json, column scaleLength: found 25; expected a scale length from 250 to 1100 mm (25 mm as written; if 25 is right, write "25 in")']],
    ["inches called mm", { ...least, scaleLength: "25 mm" }, ['neck.json, column scaleLength: found "25 mm"; expected a scale length from 250 to 1100 mm (25 mm as written; if 25 is right, write "25 in")']],
    ["a radius without its unit", { ...least, fingerboardRadius: 12 }, ['neck.json, column fingerboardRadius: found 12; expected a radius across the board from 30 to 10000 mm (12 mm as written; if 12 is right, write "12 in")']],
    ["a radius below half the width", { ...least, widths: { nut: 64, lastFret: 80 }, fingerboardRadius: 35 }, ["neck.json, column fingerboardRadius: found 35 mm (1.378 in); expected more than half the width of the board there, 40 mm (1.575 in) (write the unit, as \"12 in\")"]],
    ["nothing of the length", { ...least, scaleLength: 0 }, ['neck.json, column scaleLength: found 0; expected a scale length from 250 to 1100 mm (0 mm as written; write "25.5 in" for example)']],
    ["a negative width", { ...least, widths: { nut: -43, lastFret: 56 } }, ['neck.json, column widths.nut: found -43; expected a width of the board from 20 to 120 mm (-43 mm as written; if 43 is right, write "43 mm")']],
    ["a joint beyond the frets", { ...least, bodyJoint: 23 }, ["neck.json, column bodyJoint: found 23; expected a fret from 1 to 22, since the neck has 22 frets (check bodyJoint and frets)"]],
    ["a share in per cent", { ...least, lines: { bass: { share: 10 } } }, ["neck.json, column lines.bass.share: found 10; expected share of the width from the bass edge, a number from 0 to 1 (a tenth of the width from the bass edge is 0.1)"]],
    ["an offset off the board", { ...least, lines: { bass: { offset: "-30 mm" } } }, ["neck.json, column lines.bass.offset: found -30 mm (-1.181 in); expected on the board, no more than 21.5 mm (0.846 in) from its centre (an offset counts from the centre, negative toward the bass side)"]],
    ["lines that are swapped", { ...least, lines: { bass: { share: 0.9 }, treble: { share: 0.1 } } }, ["neck.json, column lines: found the bass line on the treble side of the treble line; expected shares of the width from the bass edge, or offsets from the centre that are negative toward the bass side (the two lines may be swapped)"]],
    ["a line that is a number", { ...least, lines: { 7: { share: 0.1 } } }, ['neck.json, column lines.7: found a line named "7"; expected a name of one word that is neither a number nor a word of the tables (write "bass", "G-string" or the like)']],
    ["a number in quotes", { ...least, frets: "22" }, ['neck.json, column frets: found "22"; expected the number of frets, a whole number from 2 to 36 (write it without quotes)']],
    ["a rod whose ends are swapped", { ...least, rod: { from: 400, to: 10 } }, ["neck.json, column rod.to: found 10 mm (0.394 in); expected farther from the nut than rod.from, 400 mm (15.748 in) (swap rod.from and rod.to)"]],
    ["a word not in the list", { ...least, rod: { works: "both way" } }, ['neck.json, column rod.works: found "both way"; expected how the rod works: "one way" or "both ways" or "none" (write "both ways")']],
    ["a place that is none", { ...least, thicknesses: { board: { 23: 6 } } }, ['neck.json, column thicknesses.board.23: found "23"; expected a place along the neck: "nut", "lastFret", a fret from 0 to 22, or "@300mm" from the nut']],
    ["limits in thou without their unit", { ...least, limits: { reliefMin: "4", reliefMax: "12" } }, ['neck.json, column limits.reliefMin: found "4"; expected least relief under strings from -1 to 3 mm (4 mm as written; if 4 is right, write "4 thou")', 'neck.json, column limits.reliefMax: found "12"; expected most relief under strings from -1 to 3 mm (12 mm as written; if 12 is right, write "12 thou")']],
    ["limits of a few thou without their unit", { ...least, limits: { reliefMin: 0, reliefMax: 2.5, bareBowMax: "3", twistMax: "3 mm" } }, ['neck.json, column limits.reliefMax: found 2.5; expected most relief under strings with its unit (a number alone is mm, and 2.5 mm would be much: write "2.5 thou" if thou were meant, "2.5 mm" if mm)', 'neck.json, column limits.bareBowMax: found "3"; expected most bow, either way, of a neck that goes out bare with its unit (a number alone is mm, and 3 mm would be much: write "3 thou" if thou were meant, "3 mm" if mm)']],
    ["a back bow wanted, without its unit", { ...least, limits: { reliefMin: -4, reliefMax: 0.1 } }, ['neck.json, column limits.reliefMin: found -4; expected least relief under strings from -1 to 3 mm (-4 mm as written; if -4 is right, write "-4 thou")']],
    ["limits the wrong way round", { ...least, limits: { reliefMin: 0.3, reliefMax: 0.1 } }, ["neck.json, column limits.reliefMax: found 0.1 mm; expected no less than limits.reliefMin, 0.3 mm (swap the two)"]],
    ["an empty file", "", ['neck.json: found an empty file; expected a neck as JSON, at least {"name": "…", "scaleLength": "25.5 in", "frets": 22}']],
    ["a comma too many", '{"name": "x",\n}', ["neck.json, row 2: found \"}\"; expected JSON: keys and text between double quotes, a comma between entries and none after the last, a decimal point in numbers (take out the comma before it)"]],
    ["several necks", "[{}, {}]", ["neck.json: found a list of 2; expected one neck, an object in braces { } (write one neck a file)"]],
    ["a key twice", '{"name": "x", "scaleLength": 650, "frets": 22,\n"frets": 24}', ["neck.json, row 2, column frets: found the key a second time; expected each key once (take one of the two out)"]],
  ])("refuses %s", (_, input, expected) => {
    expect(complaints(input)).toEqual(expected);
  });

  test("names the nearest key for one it does not know, and tells all problems at once", () => {
    const told = complaints({ nam: "a", scaleLength: 650, fretz: 22, woods: { bord: "ebony" }, colour: "red" });
    expect(told).toEqual([
      'neck.json, column name: found nothing; expected a key "name" (the key "nam" may be meant for it)',
      'neck.json, column frets: found nothing; expected a key "frets" (the key "fretz" may be meant for it)',
      'neck.json, column woods.bord: found the key "bord", which a neck file does not have here; expected one of board, neck (write "board")',
      expect.stringMatching(/column nam: .* \(write "name"\)$/),
      expect.stringMatching(/column fretz: .* \(write "frets"\)$/),
      expect.stringMatching(/column colour: .* \(take it out\)$/),
    ]);
  });

  test("reads the back's shape and stiffening bars, and refuses bars that end before they begin", () => {
    const bars = [{ width: "3 mm", height: "9 mm", depth: 6, modulusMPa: 120_000, from: 10, to: "400 mm", count: 2 }];
    const neck = valueOrThrow(readNeck({ name: "barred", scaleLength: 648, frets: 22, backShape: 2.4, bars }), "neck");
    expect(neck.backShape).toBe(2.4);
    expect(neck.bars).toEqual([{ widthMm: 3, heightMm: 9, depthMm: 6, modulusMPa: 120_000, fromMm: 10, toMm: 400, count: 2 }]);
    const wrong = readNeck({ name: "barred", scaleLength: 648, frets: 22, backShape: 0.5, bars: [{ width: 3, height: 9, depth: 6, modulusMPa: 120 }] });
    const crossed = readNeck({ name: "barred", scaleLength: 648, frets: 22, bars: [{ ...bars[0], from: 300, to: 200 }] });
    expect(wrong.status === "refused" && wrong.problems.map(({ column }) => column)).toEqual(["backShape", "bars.0.modulusMPa"]);
    expect(crossed.status === "refused" && crossed.problems[0]?.column).toBe("bars.0.to");
  });

  test("does not lose names that JavaScript gives every object", () => {
    expect(complaints('{"name": "x", "scaleLength": 650, "frets": 22, "lines": {"constructor": {"share": 0.5}}}')).toHaveLength(1);
    expect(complaints('{"name": "x", "scaleLength": 650, "frets": 22, "__proto__": {"share": 0.5}}')).toHaveLength(1);
  });

  test(`gives the same neck for mm and for inches (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.double({ min: 251, max: 1099, noNaN: true }), (mm) => {
        const inMm = neckOf({ ...least, scaleLength: mm }).scaleLengthMm;
        const inInches = neckOf({ ...least, scaleLength: `${(mm / 25.4).toFixed(9)} in` });
        expect(inInches.scaleLengthMm).toBeCloseTo(inMm, 6);
      }),
      { seed: SEED },
    );
  });

  test("a rod that is written as a word is told how a rod is written", () => {
    expect(readNeck({ ...least, rod: "none" })).toMatchObject({ status: "refused", problems: [{ column: "rod", repair: expect.stringContaining('{"works": "none"}') }] });
    expect(readNeck({ ...least, rod: { works: "none" } }).status).toBe("read");
  });

  test(`never throws and never passes a number that is none (seed ${SEED})`, () => {
    const keys = ["name", "scaleLength", "frets", "bodyJoint", "fingerboardRadius", "lines", "widths", "rod", "strings", "limits"];
    fc.assert(
      fc.property(fc.dictionary(fc.constantFrom(...keys), fc.jsonValue()), (input) => {
        const outcome = readNeck({ ...least, ...input });
        if (outcome.status === "read") expect(Number.isFinite(outcome.value.scaleLengthMm)).toBe(true);
        else for (const problem of outcome.problems) expect(problem.expected).not.toBe("");
      }),
      { seed: SEED, numRuns: 500 },
    );
  });
});
