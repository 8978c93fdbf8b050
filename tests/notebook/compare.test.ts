import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { openNeck, openReadings, whatChanged } from "neck-survey/notebook";

const folder = fileURLToPath(new URL("../../data-demo/QUILLFEN-07/", import.meta.url));

describe("what changed", () => {
  const neck = openNeck(`${folder}neck.json`);
  const [monday, later] = ["01-fretted-and-glued.csv", "02-a-week-later.csv"].map((file) => openReadings(neck, `${folder}${file}`)[0]);

  test("the earlier date is the one before, whichever sheet is given first", () => {
    if (monday === undefined || later === undefined) throw new Error("expected two sheets");
    expect(whatChanged(neck, later, monday).describe()).toBe(whatChanged(neck, monday, later).describe());
  });

  test("a sheet is not compared with itself", () => {
    if (monday === undefined) throw new Error("expected a sheet");
    expect(() => whatChanged(neck, monday, { ...monday })).toThrow("the same readings were given twice");
    expect(whatChanged(neck, monday, { ...monday, state: { ...monday.state, strings: "on" } }).describe()).toContain("whether it has settled cannot be judged");
    const undated = { ...monday, date: "" };
    expect(whatChanged(neck, undated, { ...undated }).describe()).toContain("see that it is not one sheet given twice");
  });
});
