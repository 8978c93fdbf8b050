import { expect, test } from "vitest";
import { neckFigure } from "../../src/figures/neckFigure.js";
import type { JsonObject } from "../../src/figures/figure.js";
import { sheetChanges } from "../../src/notebook/sheets.js";
import { reliefs, survey } from "../figures/handmade.js";

/** The layout with each change made at its path, as a page does it. */
function changed(layout: JsonObject, changes: JsonObject): unknown {
  const made: unknown = structuredClone(layout);
  for (const [path, value] of Object.entries(changes)) {
    const keys = path.split(".");
    const holder = keys.slice(0, -1).reduce<unknown>((part, key) => Reflect.get(Object(part), key), made);
    Reflect.set(Object(holder), keys.at(-1) ?? "", value);
  }
  return made;
}

test("the changes of a sheet lead to its layout from every other width", () => {
  const figure = neckFigure(survey, { reliefs });
  const all = [figure, ...figure.narrower];
  const sheets = sheetChanges(figure);
  expect(sheets.map(({ widthPx, heightPx }) => [widthPx, heightPx])).toEqual(all.map(({ widthPx, heightPx }) => [widthPx, heightPx]));
  for (const from of all) for (const [at, to] of all.entries()) expect(changed(from.layout, sheets[at]?.changes ?? {})).toEqual(to.layout);
});

test("the changes leave the ranges of the axes alone", () => {
  for (const { changes } of sheetChanges(neckFigure(survey))) expect(Object.keys(changes).filter((path) => path.includes("range"))).toEqual([]);
});

test("a figure of the least width has one sheet and nothing to change", () => {
  expect(sheetChanges(neckFigure(survey, { widthPx: 480 }))).toEqual([{ widthPx: 480, heightPx: expect.any(Number) as number, changes: {} }]);
});
