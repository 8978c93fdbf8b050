import { describe, expect, test } from "vitest";
import { glueUpText } from "../../src/notebook/reportGlueUp.js";
import { report } from "../../src/notebook/report.js";
import { DESCRIBED, surveyed } from "../frets/bench.js";

const board = (stage: string, gaps: string): string => `stage: ${stage}\nsupport: free board on its side\nfret centre\n1 ${gaps}\n10 touch\n22 ${gaps}\n`;
const pressed = surveyed(board("board, not glued", "40+4"));

describe("the report on a free board", () => {
  test("answers whether it may be glued, with what was not read yet and the care to take", () => {
    const [, said, care] = glueUpText([pressed], "mm first");
    expect(said).toMatch(/^Gluing it on: not yet\. Nothing that was read speaks against gluing it, but not everything was read\. The free board: back bow \(middle high\), 0\.\d\d mm, /);
    expect(said).toContain("Read it again tomorrow");
    expect(care).toMatch(/^Before you glue: .*caul shaped to the board, not on single crowns/);
  });

  test("stands in the report's text", async () => {
    const made = await report({ neck: { source: "neck.json", text: JSON.stringify(DESCRIBED) }, readings: [{ source: "bench.txt", text: board("board, not glued", "40+4") }] });
    expect(made.status === "reported" ? made.text : made.message).toMatch(/\nGluing it on: not yet\./);
  });

  test("of two surveys that do not agree says to wait, and not that one survey cannot show it", () => {
    const [, said] = glueUpText([surveyed(board("board from the press", "28")), pressed], "mm first");
    expect(said).toMatch(/^Gluing it on: wait; read it again when it has settled\..*It moved since the survey before/);
    expect(said).not.toContain("one survey cannot show it");
  });

  test("says nothing of gluing where the last survey is of a neck", () => {
    const neck = surveyed("stage: after glue-up\nfret centre\n1 touch\n7 9\n16 touch\n");
    expect(glueUpText([neck], "mm first")).toEqual([]);
    expect(glueUpText([pressed, neck], "mm first")).toEqual([]);
  });
});
