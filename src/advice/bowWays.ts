import { unsplitBows } from "../frets/unsplitBow.js";
import { reliefs, type Relief } from "../shape/relief.js";
import type { Survey } from "../survey/survey.js";
import { bowWords } from "../units/words.js";

/** Which way a line bows, in words; `open` where its interval holds both. */
export type BowWay = { readonly line: string; readonly way: string };

/** Which way each line bows whose relief is determined. */
export function bowWays(survey: Survey, relief: readonly Relief[] = reliefs(survey)): readonly BowWay[] {
  const unsplit = unsplitBows(survey).flatMap(({ lines }) => lines);
  return relief.flatMap((one) => (one.status === "determined" ? [{ line: one.line, way: wayOf(one.relief.low95, one.relief.high95, unsplit.includes(one.line)) }] : []));
}

function wayOf(low: number, high: number, isUnsplit: boolean): string {
  if (low < 0 && high > 0 && !isUnsplit) return "open";
  return `${bowWords(low + high)}${isUnsplit ? ", or a high fret," : ""}`;
}
