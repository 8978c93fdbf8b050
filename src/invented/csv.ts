import Papa from "papaparse";
import type { EdgeSetting } from "../readings/reading.js";
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
 * @param more further settings (wood, looks under crowns, diagonals, sighting bars), named by their labels
 */
export function inventedCsv(readings: InventedReadings, head: CsvHead, more: readonly EdgeSetting[] = []): string {
  const rows = [...edgeRows(readings), ...rockerRows(readings), ...settingRows(more)].map((row) => [head.neck, head.stage, head.date, row.surface ?? "fretTops", row.line, row.path ?? "", row.tool, row.setting, row.at, row.gap, "thou", row.note]);
  if (head.state === undefined) return Papa.unparse({ fields: [...COLUMNS], data: rows }, { newline: "\n" }) + "\n";
  const { state } = head;
  const stated = rows.map((row, index) => [...row, ...STATE_COLUMNS.map((column) => (index === 0 ? (state[column] ?? "") : ""))]);
  return Papa.unparse({ fields: [...COLUMNS, ...STATE_COLUMNS], data: stated }, { newline: "\n" }) + "\n";
}

type Row = { readonly line: string; readonly tool: string; readonly setting: string; readonly at: number | string; readonly surface?: string; readonly path?: string; readonly gap: string; readonly note: string };

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

function settingRows(settings: readonly EdgeSetting[]): Row[] {
  return settings.flatMap(({ label, tool, surface, path, readings }) =>
    readings.map((reading): Row => ({
      line: path.kind === "diagonal" ? "" : reading.line, tool: tool.name, setting: label.replaceAll(",", ""), at: reading.place.label, surface, path: pathCell(path), gap: reading.written, note: reading.note ?? "",
    })),
  );
}

function pathCell(path: EdgeSetting["path"]): string {
  if (path.kind === "diagonal") return `diagonal ${path.from.line}@${path.from.at.label} ${path.to.line}@${path.to.at.label}`;
  return path.kind === "across" ? "across" : "";
}
