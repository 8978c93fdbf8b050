import { describe, expect, test } from "vitest";
import { adjust, reliefs, verdict } from "neck-survey";
import type { EdgeSetting } from "neck-survey";
import { cornersGain } from "../../src/survey/corners.js";
import { logEvidenceOf } from "../../src/survey/estimation/scatterGrid.js";
import type { Explanation } from "../../src/survey/explanation.js";
import { explanationsOf } from "../../src/survey/explanations.js";
import { usableReadings } from "../../src/survey/model/stations.js";
import { NECK, THOU, along, bowed, exact, interval, leafInterval, lineNamed, place, sheet, sweep } from "./bench.js";
import type { Truth } from "./bench.js";

/** Frets 8 to 12 stand 0.07 mm up on a neck in forward bow. */
const raised: Truth = (line, fret) => bowed(0.25)(line, fret) + (fret >= 8 && fret <= 12 ? 0.07 : 0);

/** Largest departure of a line through these heights from its chord, frets 1 to 16. */
function reliefToJoint(truth: Truth): number {
  const [from, to] = [place(1).xMm, place(16).xMm];
  const departures = Array.from({ length: 16 }, (_, index) => {
    const t = (place(index + 1).xMm - from) / (to - from);
    return (1 - t) * truth("centre", 1) + t * truth("centre", 16) - truth("centre", index + 1);
  });
  return Math.max(...departures);
}

describe("a zone of neighbouring frets that stand up together", () => {
  const survey = adjust(NECK, sheet(NECK.lines.map((line) => sweep(raised, line))));

  test("is found where it is, with its height, and both reasons are as likely without readings on the wood", () => {
    const [zone] = survey.zones;
    expect(zone).toMatchObject({ fromFret: 8, toFret: 12 });
    expect(zone?.up.value).toBeCloseTo(0.07, 1);
    expect(zone?.probability).toBeGreaterThan(0.9);
    expect(zone?.probabilityBoard).toBeCloseTo(zone?.probabilityFrets ?? NaN, 2);
  });

  test("leaves the relief open to both: the interval holds it with and without the zone", () => {
    for (const relief of reliefs(survey)) {
      if (relief.status !== "determined") throw new RangeError("expected a determined relief");
      for (const truth of [bowed(0.25), raised]) {
        expect(relief.relief.low95).toBeLessThan(reliefToJoint(truth));
        expect(relief.relief.high95).toBeGreaterThan(reliefToJoint(truth));
      }
    }
  });

  test("is told in words, with the reading that would tell the reasons apart", () => {
    expect(verdict(survey).where.at(-1)).toMatch(/^Together frets 8 to 12 stand up by 0\.0\d mm, give or take 0\.0\d \(.*\)\. Either the board is raised there \(50 %\) or these frets are not seated \(50 %\); .*slide a thin leaf under their crowns/);
  });

  test("is put down to the frets when the bare wood was read and does not rise", () => {
    const [zone] = adjust(NECK, sheet([...NECK.lines.map((line) => sweep(raised, line)), onWood(woodAt(0))])).zones;
    if (zone === undefined) throw new RangeError("expected a zone");
    expect(zone.probabilityFrets / zone.probability).toBeGreaterThan(0.95);
  });

  test("is put down to the board when the bare wood rises with it, falling to nothing at the frets beside", () => {
    const both = adjust(NECK, sheet([...NECK.lines.map((line) => sweep(raised, line)), onWood(woodAt(0.07))]));
    const [zone] = both.zones;
    if (zone === undefined) throw new RangeError("expected a zone");
    expect(zone).toMatchObject({ fromFret: 8, toFret: 12 });
    expect(zone.probabilityBoard).toBeGreaterThan(0.95);
    expect(Math.abs(zone.up.value - 0.07)).toBeLessThan(0.015);
    for (const fret of [8, 10, 12]) {
      const high = both.linear([{ of: "fretTop", line: "centre", fret, weight: 1 }, { of: "neckLine", line: "centre", xMm: place(fret).xMm, weight: -1 }]);
      expect(Math.abs(high.value)).toBeLessThan(0.012);
    }
  });
});

/** The bare wood midway between frets, on a forward bow, the board raised under frets 8 to 12 and over one fret spacing down to nothing on each side. */
function woodAt(upMm: number): (at: number) => number {
  return (at) => {
    const t = (spaceMm(at) - place(1).xMm) / (place(22).xMm - place(1).xMm);
    return -4 * 0.25 * t * (1 - t) + upMm * Math.max(0, Math.min(1, at - 7, 13 - at));
  };
}

function spaceMm(at: number): number {
  return (place(Math.floor(at)).xMm + place(Math.ceil(at)).xMm) / 2;
}

/** A notched edge on the centre line; the offset of the crowns, 0.5 mm here, is free. */
function onWood(heightAt: (at: number) => number): EdgeSetting {
  const wood = along("centre", [2.5, 5.5, 7.5, 8.5, 9.5, 10.5, 11.5, 12.5, 14.5, 17.5, 20.5].map((at) => ({ ...interval("centre", 1, ...leafInterval(0.5 - heightAt(at))), place: { label: String(at), xMm: spaceMm(at) } })));
  return { ...wood, surface: "wood", tool: { ...wood.tool, kind: "notched", name: "notched" }, label: "notched edge, centre" };
}

test("an even neck with single high frets has no zone", () => {
  const truth: Truth = (line, fret) => bowed(0.2)(line, fret) + (fret === 7 || fret === 15 ? 0.08 : 0);
  expect(adjust(NECK, sheet(NECK.lines.map((line) => sweep(truth, line)))).zones).toEqual([]);
  expect(adjust(NECK, sheet([along("centre", [exact("centre", 1, 0), interval("centre", 8, 8 * THOU, 9 * THOU), exact("centre", 16, 0)])])).zones).toEqual([]);
});

describe("a zone of a neck that has a corner too", () => {
  /** A corner at fret 5, 0.08 mm over 100 mm to either side, and frets 12 to 16 up by 0.03 mm. */
  const cornered: Truth = (line, fret) => bowed(0.6)(line, fret) - (0.08 * Math.abs(place(fret).xMm - place(5).xMm)) / 100 + 0.005 * Math.sin(37 * fret) + (fret >= 12 && fret <= 16 ? 0.03 : 0);
  const read = sheet(["bass", "treble"].map((line) => sweep(cornered, lineNamed(line))));
  const explanations = explanationsOf(NECK, read, usableReadings(NECK, read)).filter(({ layout }) => layout.zone?.of === "frets");
  const fretsOf = ({ layout: { stations, zone } }: Explanation): string => `${stations[zone?.from ?? NaN]?.fret} to ${stations[zone?.to ?? NaN]?.fret}`;

  test("stands against another zone as the readings' probabilities do, corners counted in: the corner leaves nothing for a zone beside it to explain", () => {
    const [twelve, besideCorner] = ["12 to 16", "4 to 8"].map((frets) => explanations.find((explanation) => fretsOf(explanation) === frets));
    if (twelve === undefined || besideCorner === undefined) throw new RangeError(`expected both zones among ${explanations.map(fretsOf).join(", ")}`);
    const smooth = logEvidenceOf(twelve.grid) - logEvidenceOf(besideCorner.grid);
    const odds = Math.log(twelve.probability / besideCorner.probability);
    expect(odds - smooth).toBeCloseTo(cornersGain(twelve) - cornersGain(besideCorner), 9);
    // without corners the odds are e times less
    expect(odds - smooth).toBeGreaterThan(1);
  });

  test("is told with the odds that it has where the corner is allowed for", () => {
    const [zone] = adjust(NECK, read).zones;
    expect(zone).toMatchObject({ fromFret: 12, toFret: 16 });
    expect(zone?.probability).toBeGreaterThan(0.75);
  });
});
