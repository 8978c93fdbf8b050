import { jointDraws } from "./draws.js";
import { topPoint } from "./explanation.js";
import type { Explanation } from "./explanation.js";
import { unmovedEstimates } from "./estimation/unmovedChange.js";
import type { Form } from "./functional.js";
import { measuredSmooth } from "./functional.js";
import type { Usable } from "./model/stations.js";

/** What the best estimates of forms would come to by chance alone, had nothing changed between two surveys, under the likeliest explanation; as widely as the posterior itself where that cannot be told. */
export function unmovedDraws(usable: Usable, explanations: readonly [Explanation, ...Explanation[]], forms: readonly Form[], pair: readonly [number, number], count: number, seed: number): readonly Float64Array[] {
  const [{ layout, equations, grid }] = explanations;
  const found = unmovedEstimates(layout, equations, usable.settings, topPoint({ grid }), forms.map((form) => form(layout)), pair, count, seed);
  if (found !== undefined) return found;
  const means = forms.map((form) => measuredSmooth(explanations, form).value);
  return jointDraws(explanations, forms, count, seed, "smooth").map((draw) => draw.map((value, at) => value - (means[at] ?? 0)));
}
