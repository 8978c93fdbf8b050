import { describe, expect, test } from "vitest";
import { fretDistanceMm } from "../../src/neck/frets.js";
import { readPlace } from "../../src/readings/place.js";
import type { Surface } from "../../src/readings/reading.js";
import { NECK, ZERO_FRET_NECK } from "./necks.js";

describe("readPlace", () => {
  test("a fret top", () => {
    expect(readPlace("7", NECK, "fretTops")).toEqual({ place: { label: "7", fret: 7, xMm: fretDistanceMm(635, 7) } });
    expect(readPlace("0", ZERO_FRET_NECK, "fretTops")).toEqual({ place: { label: "0", fret: 0, xMm: 0 } });
  });

  test("on the wood a fret number is a place, not a fret top", () => {
    expect(readPlace("7", NECK, "wood")).toEqual({ place: { label: "7", xMm: fretDistanceMm(635, 7) } });
    expect(readPlace("0", NECK, "wood")).toEqual({ place: { label: "0", xMm: 0 } });
  });

  test("midway is midway in mm, and a comma is a decimal comma", () => {
    const xMm = (fretDistanceMm(635, 3) + fretDistanceMm(635, 4)) / 2;
    expect(readPlace("3.5", NECK, "wood")).toEqual({ place: { label: "3.5", xMm } });
    expect(readPlace("3,5", NECK, "wood")).toEqual({ place: { label: "3.5", xMm } });
  });

  test("a distance from the nut", () => {
    expect(readPlace("@123.4mm", NECK, "wood")).toEqual({ place: { label: "@123.4mm", xMm: 123.4 } });
    expect(readPlace("@317.5 mm", NECK, "fretTops")).toEqual({ place: { label: "12", fret: 12, xMm: 317.5 } });
  });

  test.each<readonly [string, Surface, RegExp, RegExp]>([
    ["3-4", "wood", /midway between frets 3 and 4/, /a spreadsheet may have changed it into a date: between frets 3 and 4 write 3\.5, never 3-4/],
    ["3-Apr", "wood", /midway/, /a spreadsheet may have changed it into a date/],
    ["Apr-03", "wood", /midway/, /a spreadsheet may have changed it into a date/],
    ["03/04/2026", "wood", /midway/, /a spreadsheet may have changed it into a date/],
    ["2026-04-03", "wood", /midway/, /a spreadsheet may have changed it into a date/],
    ["46115", "wood", /midway/, /a spreadsheet may have changed 3-4 into the number of a date/],
    ["0", "fretTops", /^a fret from 1 to 22$/, /the nut is no fret top/],
    ["nut", "fretTops", /^a fret from 1 to 22$/, /^the nut is no fret top/],
    ["Nut", "wood", /midway/, /^write 0 for the nut$/],
    ["1.", "fretTops", /^a fret from 1 to 22$/, /^write 1$/],
    ["12:", "wood", /midway/, /^write 12$/],
    ["23", "fretTops", /^a fret from 1 to 22$/, /check the fret and the neck file/],
    ["3.5", "fretTops", /^a fret from 1 to 22$/, /3\.5 is on the wood between two frets: state the surface as wood/],
    ["@200mm", "fretTops", /^a fret from 1 to 22$/, /no fret is within 1 mm of @200mm: state the surface as wood/],
    ["@2000mm", "wood", /^a distance from the nut of 0 to \d+ mm$/, /check its unit/],
    ["3.25", "wood", /midway/, /@123\.4mm from the nut/],
  ])("%s on %s is refused", (written, surface, expected, repair) => {
    expect(readPlace(written, NECK, surface)).toMatchObject({ expected: expect.stringMatching(expected), repair: expect.stringMatching(repair) });
  });

  test.each(["", "x", "-1", "7a", "@", "@x", "7".repeat(100)])("%j is refused", (written) => {
    expect(readPlace(written, NECK, "fretTops")).toHaveProperty("expected");
  });
});
