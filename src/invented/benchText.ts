import type { InventedReadings, InventedSetting } from "./readings.js";

/** What is written above the tables, one `key: value` a line: stage, date, rod and so on. */
export type TextHead = Readonly<Record<string, string>>;

/**
 * The readings as a builder writes them at the bench: one table for each setting-down, one row a fret, one column a line, `-` where nothing was read; then
 * the pass of the rocker in one line, by exception.
 * @throws {RangeError} three gaps under one rocker, which a pass cannot say (plan without `leafUnderMiddle`)
 */
export function inventedBenchText(readings: InventedReadings, head: TextHead): string {
  const heading = Object.entries(head).map(([key, value]) => `${key}: ${value}`);
  const numbers = [...new Set(readings.settings.map((setting) => setting.number))].sort((a, b) => a - b);
  const tables = numbers.map((number) => table(readings.settings.filter((setting) => setting.number === number)));
  return `${[heading.join("\n"), ...tables, ...pass(readings)].filter((part) => part !== "").join("\n\n")}\n`;
}

function table(settings: readonly InventedSetting[]): string {
  const frets = [...new Set(settings.flatMap((setting) => setting.gaps.map((gap) => gap.fret)))].sort((a, b) => a - b);
  const rows = frets.map((fret) => [String(fret), ...settings.map((setting) => setting.gaps.find((gap) => gap.fret === fret)?.read.written ?? "-")]);
  return [["fret", ...settings.map((setting) => setting.line)], ...rows].map((cells) => cells.map((cell) => cell.padEnd(7)).join(" ").trimEnd()).join("\n");
}

function pass(readings: InventedReadings): string[] {
  const { rockers } = readings;
  if (rockers.length === 0) return [];
  const middles = rockers.map((finding) => finding.frets[1]);
  const [first, last] = [Math.min(...middles), Math.max(...middles)];
  const lines = [...new Set(rockers.map((finding) => finding.line))];
  const exceptions = lines.flatMap((line) => Array.from({ length: last - first + 1 }, (_, k) => exception(readings, line, first + k)));
  const except = exceptions.filter((text) => text !== "").join(", ");
  return [`rocked frets ${first}-${last} on ${lines.join(", ")}: still${except === "" ? "" : ` except ${except}`}`];
}

function exception(readings: InventedReadings, line: string, fret: number): string {
  const finding = readings.rockers.find((one) => one.line === line && one.frets[1] === fret);
  if (finding === undefined) return `${fret} ${line} not measured`;
  if (typeof finding.written !== "string") {
    throw new RangeError(`Cannot write the rocker at fret ${fret}, ${line}, in a pass: expected one mark, found the gaps ${finding.written.join(", ")} (take the readings with leafUnderMiddle false)`);
  }
  return finding.written === "still" ? "" : `${fret} ${line} ${finding.written.replace("=", " ")}`;
}
