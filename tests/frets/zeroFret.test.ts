import { describe, expect, test } from "vitest";
import { fretReport, shipReport, verdict } from "neck-survey";
import { levelling } from "../../src/advice/levelPlan/levelling.js";
import { neckWith, surveyed } from "./bench.js";

/** Invented readings: a zero fret that stands about 0.15 mm (6 thou) over the line of the others, frets 1 to 16 in a slight forward bow. */
const HIGH_ZERO = `
strings: off
fret  bass   centre  treble
0     touch  touch   touch
1     6      6       6
2     6      6       6
3     6      6       6
5     5      5       5
7     5      5       5
9     4      4       4
12    3      3       3
14    1.5    1.5     1.5
16    touch  touch   touch
rocked frets 1-21 on bass, centre, treble: still
`;
const NECK = neckWith({ zeroFret: true, crown: { height: "1.2 mm" } });

describe("a zero fret that stands over the others", () => {
  const survey = surveyed(HIGH_ZERO, NECK);
  const report = fretReport(survey);

  test("is left, and told what it carries; it is not tapped or levelled for it", () => {
    const zero = report.frets.find(({ fret }) => fret === 0);
    expect(zero?.high.low95).toBeGreaterThan(0.03);
    expect(zero?.action).toEqual({ do: "leave", why: "zero fret" });
    expect(report.work.flatMap(({ frets }) => frets)).not.toContain(0);
    expect(report.describe()).toContain("no fret but the zero fret stands clearly over the limit");
    expect(report.describe()).toMatch(/Fret 0, all across: .*\. It is the zero fret, which carries the open strings/);
  });

  test("is seated where air was seen under its crown", () => {
    const looked = fretReport(surveyed(`${HIGH_ZERO}\nsurface: under crown\nfret bass centre treble\n0 3 3 3\n`, NECK));
    expect(looked.frets.find(({ fret }) => fret === 0)?.action.do).toBe("seat");
    expect(looked.work).toContainEqual({ do: "rock again", frets: [1] });
  });

  test("has nobody rock it, since a rocker has it in no middle", () => {
    expect(verdict(survey).describe()).toMatch(/Fret 0 stands above the neck line .*: read it and the frets beside it under a fresh setting of the edge to be sure\./);
  });

  test("is in no level plan, and the plan says so", () => {
    const posed = levelling(survey);
    if (posed.status !== "posed") throw new RangeError(posed.describe());
    expect([...new Set(posed.problem.tops.map(({ fret }) => fret))]).toEqual(Array.from({ length: 16 }, (_, index) => index + 1));
    expect(posed.notes.join(" ")).toContain("The zero fret is left out: tape it over");
  });

  test("fails no limit on single frets", () => {
    const [frets] = shipReport(survey).checks.filter(({ what }) => what === "single frets");
    expect(frets?.wanted).toContain("every fret but the zero fret under");
    expect(frets?.found).not.toContain("fret 0");
  });
});
