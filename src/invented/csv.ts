import Papa from "papaparse";
import type { InventedReadings } from "./readings.js";

/** What stands beside the readings in a tidy CSV. */
export type CsvHead = {
  readonly neck: string;
  readonly stage: string;
  /** ISO 8601 day. */
  readonly date: string;
  /** Written in the first row only; a blank cell means as in the row above. */
  readonly state?: Readonly<Partial<Record<"rod" | "strings" | "support" | "hoursSinceGlue" | "humidity" | "temperature" | "fretState", string>>>;
};

const COLUMNS = ["neck", "stage", "date", "surface", "line", "path", "tool", "setting", "at", "gap", "unit", "note"] as const;
const STATE_COLUMNS = ["rod", "strings", "support", "hoursSinceGlue", "humidity", "temperature", "fretState"] as const;

/**
 * The readings as a tidy CSV, one row a reading, gaps in thou, lines ending in a line feed.
 * A setting is named by its line and number (`bass 1`); a rocker's mark stands at its middle fret; three gaps under a rocker are a setting of their own.
 */
export function inventedCsv(readings: InventedReadings, head: CsvHead): string {
  const rows = [...edgeRows(readings), ...rockerRows(readings)].map((row) => [head.neck, head.stage, head.date, "fretTops", row.line, "", row.tool, row.setting, row.at, row.gap, "thou", row.note]);
  if (head.state === undefined) return Papa.unparse({ fields: [...COLUMNS], data: rows }, { newline: "\n" }) + "\n";
  const { state } = head;
  const stated = rows.map((row, index) => [...row, ...STATE_COLUMNS.map((column) => (index === 0 ? (state[column] ?? "") : ""))]);
  return Papa.unparse({ fields: [...COLUMNS, ...STATE_COLUMNS], data: stated }, { newline: "\n" }) + "\n";
}

type Row = { readonly line: string; readonly tool: string; readonly setting: string; readonly at: number; readonly gap: string; readonly note: string };

function edgeRows(readings: InventedReadings): Row[] {
  return readings.settings.flatMap((setting) =>
    setting.gaps.map(({ fret, read }) => ({
      line: setting.line,
      tool: "straightedge",
      setting: `${setting.line} ${setting.number}`,
      at: fret,
      gap: read.written,
      note: fret === setting.pressedAtFret ? "rocks, pressed down here" : "",
    })),
  );
}

function rockerRows(readings: InventedReadings): Row[] {
  return readings.rockers.flatMap((finding): Row[] => {
    const { line, written, frets } = finding;
    if (typeof written === "string") return [{ line, tool: "rocker", setting: "", at: frets[1], gap: written, note: "" }];
    const setting = `rocker ${line} ${frets[1]}`;
    return written.map((gap, k) => ({ line, tool: "rocker", setting, at: frets[k] ?? frets[1], gap, note: "" }));
  });
}
