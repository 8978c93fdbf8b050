import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { neckFigure } from "../../src/figures/neckFigure.js";
import { rodFigure } from "../../src/figures/rodFigure.js";
import { adviseRod, openNeck, openReadings, surveyNeck, testRod } from "../../src/notebook/index.js";
import { stillSvg } from "../../src/notebook/still.js";

const root = fileURLToPath(new URL("../../", import.meta.url));
const demo = (file: string): string => `${root}data-demo/${file}`;
const pictures = [...readFileSync(`${root}README.md`, "utf8").matchAll(/!\[([^\]]+)\]\(([^)]+\.svg)\)/g)].map(([, alt = "", path = ""]) => ({ alt, path }));

describe("the README's pictures", () => {
  test("are there, have their words, and are made by data-demo/make.mjs", () => {
    expect(pictures.map(({ path }) => path)).toEqual(["data-demo/QUILLFEN-07.svg", "data-demo/QUILLFEN-11-rod.svg"]);
    expect(pictures[0]?.alt).toContain("fret 14 stands up on all three lines");
    for (const { path } of pictures) {
      expect(readFileSync(root + path, "utf8")).toContain("Heights are drawn");
      expect(readFileSync(demo("make.mjs"), "utf8")).toContain(path.replace("data-demo/", ""));
    }
  });

  test("show the figures as they are drawn today (node data-demo/make.mjs draws them again)", { timeout: 60_000 }, () => {
    const seven = openNeck(demo("QUILLFEN-07/neck.json"));
    expect(readFileSync(demo("QUILLFEN-07.svg"), "utf8")).toBe(stillSvg(neckFigure(surveyNeck(seven, openReadings(seven, demo("QUILLFEN-07/01-fretted-and-glued.csv"))[0]))));
    const eleven = openNeck(demo("QUILLFEN-11/neck.json"));
    const sheets = openReadings(eleven, demo("QUILLFEN-11/readings.csv"));
    const advice = adviseRod(surveyNeck(eleven, sheets[0]), { strings: "to come", relief: ["0.1 mm", "0.3 mm"], test: testRod(eleven, sheets) });
    expect(readFileSync(demo("QUILLFEN-11-rod.svg"), "utf8")).toBe(stillSvg(rodFigure(advice)));
  });
});
