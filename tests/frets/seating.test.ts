import { describe, expect, test } from "vitest";
import { seatingRecords } from "neck-survey";
import { didNotHold } from "../../src/frets/seating.js";
import { read } from "./bench.js";

function outcomes(log: string): readonly (readonly [string, string])[] {
  return seatingRecords(read(log)).map(({ fret, line, outcome }) => [`${fret} ${line}`, outcome]);
}

describe("the seating log", () => {
  test("tells what stayed down, what came up again, and what never went down", () => {
    expect(outcomes([
      "7 treble: rocks 2 > tapped > still",
      "9 bass: rocks 2 > tapped > still > next day > rocks 1.5",
      "11 bass: rocks 3 > tapped > rocks 3",
      "11 bass: pressed > rocks 2",
      "12 bass: rocks 2 > tapped > rocks 2",
      "14 centre: rocks 2 > tapped > still > came up again > glued > still",
      "15 centre: tapped > glued",
    ].join("\n"))).toEqual([
      ["7 treble", "stayed down"], ["9 bass", "came up again"], ["11 bass", "did not go down"], ["12 bass", "open"], ["14 centre", "came up once, down now"], ["15 centre", "open"],
    ]);
  });

  test("counts what was done, not the lines: one tap that did not hold is no reason yet to pull the fret", () => {
    const [once, twice, unnamed] = seatingRecords(read("7 treble: rocks 4 > tapped > still\n7 treble: next day > rocks 4\n9 bass: rocks 2 > tapped > still > next day > rocks 2 > pressed > still > rocks 2\n11 bass: rocks 3 > rocks 3 > rocks 2\n"));
    expect([once, twice, unnamed].map((record) => record?.worked)).toEqual([1, 2, 2]);
    expect([once, twice, unnamed].map((record) => record !== undefined && didNotHold(record))).toEqual([false, true, true]);
    expect(twice?.describe()).toContain("came up again (2 tries).");
  });

  test("keeps one line a try, joins the tries of one fret end, and names what came up", () => {
    const [record] = seatingRecords(read("7 treble: rocks 2 > tapped > still\n7 treble: next day > rocks 1.5\n"));
    expect(record?.tries).toEqual(["rocks 2 > tapped > still", "next day > rocks 1.5"]);
    expect(record?.describe()).toBe("Fret 7, treble: rocks 2 > tapped > still; then next day > rocks 1.5: came up again (1 try).");
  });
});
