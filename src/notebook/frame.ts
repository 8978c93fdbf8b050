import type { DataFrame } from "danfojs";
import type { TableColumn } from "./table.js";

/** Most decimals shown of a column of a table. */
const MOST_DECIMALS = 3;

/** The columns of a DataFrame for show: a column of numbers keeps one number of decimals, as many as its values need and no more than three. */
export function frameColumns(frame: DataFrame): readonly TableColumn[] {
  const rows: readonly unknown[] = frame.values;
  return frame.columns.map((heading: string, at: number): TableColumn => {
    const cells = rows.map((row) => (Array.isArray(row) ? (row[at] as unknown) : row));
    const numbers = cells.filter((cell) => typeof cell === "number");
    const isNumeric = numbers.length > 0 && cells.every((cell) => typeof cell === "number" || cell === undefined || cell === null);
    return isNumeric
      ? { heading, numbers: cells.map((cell) => (typeof cell === "number" ? cell : Number.NaN)), decimals: decimalsOf(heading, numbers) }
      : { heading, texts: cells.map(cellText) };
  });
}

function decimalsOf(heading: string, numbers: readonly number[]): number {
  if (heading.endsWith(" thou")) return 1;
  const needed = numbers.map((value) => Array.from({ length: MOST_DECIMALS }, (_, at) => at).find((places) => Math.abs(value - Number(value.toFixed(places))) < 1e-9) ?? MOST_DECIMALS);
  const least = /^(height|give or take|over the neck line|middle|from|to) mm$/.test(heading) ? MOST_DECIMALS : 0;
  return Math.max(least, ...needed);
}

function cellText(cell: unknown): string {
  if (cell === undefined || cell === null) return "–";
  return typeof cell === "string" || typeof cell === "number" || typeof cell === "boolean" ? String(cell) : JSON.stringify(cell);
}
