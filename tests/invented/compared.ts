import type { SurveySheet } from "../../src/readings/reading.js";

/** What a sheet says, row by row in an order of its own, without names and places of writing: two sheets that mean the same have the same. */
export function meaningOf(sheet: SurveySheet): { gaps: string[]; rockers: string[]; feelMm: number } {
  const gaps = sheet.settings.flatMap(({ tool, surface, readings }, setting) =>
    readings.map(({ line, place, gap }) => [setting, tool.kind, tool.lengthMm, tool.straightnessToleranceMm, surface, line, place, gap]));
  const rockers = sheet.rockers.map(({ line, frets, deltaMm, endsUMm, tool }) => [line, frets, deltaMm, endsUMm, tool.lengthMm, tool.straightnessToleranceMm]);
  return { gaps: sorted(gaps), rockers: sorted(rockers), feelMm: sheet.feelMm };
}

function sorted(rows: readonly unknown[]): string[] {
  return rows.map((row) => JSON.stringify(row, rounded)).sort();
}

/** Infinity keeps its name; numbers are compared to a picometre. */
function rounded(_: string, value: unknown): unknown {
  if (typeof value !== "number") return value;
  return Number.isFinite(value) ? Number(value.toFixed(9)) : String(value);
}
