import type { Figure, Json, JsonObject } from "../figures/figure.js";

/** A figure at one width: its size and what has to be changed in the layout to come to it from any other width. */
export type SheetChange = { readonly widthPx: number; readonly heightPx: number; /** By path, as plotly's relayout takes it. */ readonly changes: JsonObject };

/** The figure at every width it was laid out for, widest first; what is the same at all widths (the axes' ranges above all) is left alone. */
export function sheetChanges(figure: Figure): readonly SheetChange[] {
  const layouts = [figure, ...figure.narrower].map(({ widthPx, heightPx, layout }) => ({ widthPx, heightPx, leaves: leavesOf(layout, "") }));
  const paths = [...new Set(layouts.flatMap(({ leaves }) => [...leaves.keys()]))];
  const differing = paths.filter((path) => new Set(layouts.map(({ leaves }) => JSON.stringify(leaves.get(path) ?? null))).size > 1);
  return layouts.map(({ widthPx, heightPx, leaves }) => ({ widthPx, heightPx, changes: Object.fromEntries(differing.map((path) => [path, leaves.get(path) ?? null])) }));
}

/** Everything in a layout by its path; a list counts as one thing. */
function leavesOf(part: JsonObject, before: string): ReadonlyMap<string, Json> {
  return new Map(Object.entries(part).flatMap(([key, value]): readonly (readonly [string, Json])[] => (isObject(value) ? [...leavesOf(value, `${before}${key}.`)] : [[before + key, value]])));
}

function isObject(value: Json): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
