import { readFileSync } from "node:fs";
import { afterEach, describe, expect, test, vi } from "vitest";
import { causesTable, describeNeck, learnBow, learntFigure, learntTable, openingsFigure, predictBow, show, tell } from "../../src/notebook/index.js";
import { seasonalChange } from "../../src/bow/moisture/season.js";
import { figureHtml } from "../../src/notebook/figureHtml.js";

const NECK = describeNeck({
  name: "QUILLFEN-08", scaleLength: "25 in", frets: 22, bodyJoint: 16, woods: { board: "rosewood", neck: "hard maple" },
  slots: { width: "0.53 mm", depth: "2.8 mm" }, tangs: { thickness: "0.55 mm" }, thicknesses: { board: "6 mm", total: { "1": "20.5 mm", "12": "22.5 mm" } },
});
const ORDER = { frets: "before glue-up", strings: true } as const;
const BOW = predictBow(NECK, ORDER);

afterEach(() => void vi.restoreAllMocks());

function printed(work: () => void): string {
  const log = vi.spyOn(console, "log").mockImplementation(() => undefined);
  work();
  return log.mock.calls.flat().join("\n");
}

describe("bow in a notebook", () => {
  test("tell prints the range, the causes, the caution and what was assumed; thou first where asked", () => {
    const text = printed(() => tell(BOW));
    expect(text).toMatch(/^QUILLFEN-08, strings at pitch: .*forward bow \(middle low\)/);
    expect(text).toMatch(/Caution: strings at pitch[\s\S]*Assumed, because it was not given:[\s\S]*strings: a light set of six/);
    expect(printed(() => tell(BOW, "thou first"))).toMatch(/thou \(\d/);
  });

  test("tell takes any result that describes itself", () => {
    const season = seasonalChange(NECK, { humidityPercent: 55, celsius: 20 }, { humidityPercent: 30, celsius: 21 });
    expect(printed(() => tell(season))).toMatch(/^The wood dries[\s\S]*Assumed, because it was not given:\n {2}moisture across the grain[\s\S]*moisture along the grain/);
    expect(printed(() => tell(BOW.sequence))).toMatch(/The fretted board, not glued[\s\S]*Strings at pitch/);
  });

  test("show draws it, told in words where there is no page", () => {
    expect(printed(() => show(BOW))).toMatch(/^Side view of the predicted bow of QUILLFEN-08, strings at pitch, over frets 1 to 16\..*All together: /);
  });

  test("the table of causes has a row a cause and the sum, both units, and the sum of the middles is near the middle of the sum", () => {
    const table = causesTable(BOW);
    expect(table.columns).toEqual(["cause", "toward", "middle mm", "from mm", "to mm", "middle thou", "from thou", "to thou"]);
    const middles = table["middle mm"].values as readonly number[];
    expect(middles).toHaveLength(BOW.causes.length + 1);
    const sum = middles.slice(0, -1).reduce((total, value) => total + value, 0);
    expect(Math.abs(sum - (middles.at(-1) ?? Number.NaN))).toBeLessThan(0.05);
    expect(causesTable(BOW, "thou first").columns[2]).toBe("middle thou");
  });

  test("what a board's reading taught is told before and after, narrows the next prediction, and is listed narrowest first", () => {
    const learnt = learnBow(NECK, [{ after: "fretted board", work: ORDER, reliefMm: -4.2, giveOrTakeMm: 0.3 }]);
    expect(printed(() => tell(learnt))).toMatch(/Tang thicker than its slot by: .* before, .* now\./);
    const [first] = learntTable(learnt)["unknown"].values as readonly string[];
    expect(first).toBe("tang thicker than its slot by");
    const after = predictBow(NECK, ORDER, { belief: learnt.after }).relief;
    expect(after.high95 - after.low95).toBeLessThan(BOW.relief.high95 - BOW.relief.low95);
  });

  test("what was believed before and after is drawn for the prediction asked about, and for no other neck", () => {
    const learnt = learnBow(NECK, [{ after: "fretted board", work: ORDER, reliefMm: -4.2, giveOrTakeMm: 0.3 }]);
    const figure = learntFigure(BOW, learnt);
    expect(figure.alt).toMatch(/^What is believed of QUILLFEN-08, strings at pitch, at fret 7.*before any reading: relief .*tang thicker than its slot by .*; after the fretted board: relief /);
    expect(figure.data.filter((trace) => trace["showlegend"] === true).map((trace) => trace["name"])).toEqual(["before any reading", "after the fretted board"]);
    expect(() => learntFigure({ ...BOW, neck: { ...NECK, name: "Ash" } }, learnt)).toThrow("Cannot draw what was learnt of QUILLFEN-08 beside a prediction of Ash");
  });

  test("the slider's steps all lie in the page, which asks nothing of a kernel", () => {
    const html = figureHtml(openingsFigure(BOW)).live;
    expect(html).toContain('"sliders":[{"active":');
    expect(html.match(/"method":"restyle"/g)?.length ?? 0).toBeGreaterThanOrEqual(13);
    expect(html).not.toMatch(/Jupyter|comm_|kernel/);
  });

  test("errors are one sentence without a trace", () => {
    expect(() => predictBow(NECK, ORDER, { stage: "rod" })).toThrow(/^Cannot predict the bow at the stage "rod": this order of work has fretted board, glue-up, strings$/);
    expect(() => predictBow(describeNeck({ name: "n", scaleLength: 648, frets: 22, woods: { neck: "suger maple" } }), ORDER)).toThrow('did you mean "sugar maple"?');
  });

  test("the example in docs/asking.md says what these functions take", () => {
    const readme = readFileSync(new URL("../../docs/asking.md", import.meta.url), "utf8");
    const example = /## What will bow this neck[\s\S]*?```ts\n([\s\S]*?)```/.exec(readme)?.[1] ?? "";
    for (const call of ["predictBow(neck, { frets: \"before glue-up\", strings: true })", "learnBow(neck, [{ after: \"fretted board\"", "{ belief: learnt.after }"]) expect(example).toContain(call);
  });
});
