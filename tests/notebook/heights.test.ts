import { expect, test } from "vitest";
import { frameColumns } from "../../src/notebook/frame.js";
import { heightsTable } from "../../src/notebook/heights.js";
import { tableText } from "../../src/notebook/table.js";
import { surveyOf } from "../figures/handmade.js";

test("the ends of a chord are told as such, without a give or take", () => {
  const rows = tableText(frameColumns(heightsTable(surveyOf(["bass"])))).split("\n");
  const ends = rows.filter((row) => /^fret (1|16) /.test(row));
  expect(ends).toHaveLength(2);
  for (const row of ends) expect(row).toMatch(/0\.000\s+–\s+0\.0\s+–\s+end of the chord; touch$/);
  expect(rows.filter((row) => row.includes("–"))).toEqual(ends);
});
