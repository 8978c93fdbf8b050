import { adjust } from "../survey/adjust.js";
import type { Survey } from "../survey/survey.js";
import { giveOrTakeMm } from "../units/words.js";
import { expectedReadings, withReading } from "./lookAhead.js";
import { reliefs } from "./relief.js";

/** Two more gaps under an edge under which three places were read, one in each half, and what they are expected to do for the relief. */
export type Halfway = { readonly line: string; readonly frets: readonly [number, number]; /** Give or take of the relief now and then, mm. */ readonly nowMm: number; readonly thenMm: number };

/** The two gaps halfway between three places read under one edge, with the give or take that the relief is expected to have after both. */
export function halfwayReadings(survey: Survey, line: string): Halfway | undefined {
  const settings = survey.sheet.settings.filter(({ path, surface, tool }) => path.kind === "along" && path.line === line && surface === "fretTops" && tool.kind === "straightedge");
  const [setting] = settings;
  const [near, middle, far] = setting?.readings ?? [];
  if (setting === undefined || settings.length > 1 || setting.readings.length !== 3 || near === undefined || middle === undefined || far === undefined) return undefined;
  const expected = expectedReadings(survey, setting, line);
  const [first, second] = [[near, middle] as const, [middle, far] as const].map(([from, to]) => {
    const halfMm = (from.place.xMm + to.place.xMm) / 2;
    const inside = expected.filter(({ place }) => place.xMm > from.place.xMm && place.xMm < to.place.xMm);
    return inside.sort((a, b) => Math.abs(a.place.xMm - halfMm) - Math.abs(b.place.xMm - halfMm))[0];
  });
  const now = reliefs(survey).find((one) => one.line === line);
  if (first?.place.fret === undefined || second?.place.fret === undefined || now?.status !== "determined") return undefined;
  const both = adjust(survey.neck, [first, second].reduce((sheet, reading) => withReading(sheet, sheet.settings.find(({ label }) => label === setting.label) ?? setting, reading), survey.sheet));
  const then = reliefs(both).find((one) => one.line === line);
  return then?.status === "determined" ? { line, frets: [first.place.fret, second.place.fret], nowMm: giveOrTakeMm(now.relief), thenMm: giveOrTakeMm(then.relief) } : undefined;
}
