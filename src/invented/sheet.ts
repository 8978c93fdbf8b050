import type { Neck } from "../neck/neck.js";
import type { EdgeSetting, GapReading, Origin, Place, RockerReading, SurveySheet, Tool } from "../readings/reading.js";
import type { InventedOperator } from "./operator.js";
import type { InventedReadings, InventedSetting } from "./readings.js";

const SOURCE = "invented readings";

/** The readings as a checked sheet, ready to be adjusted, without going through their written form. */
export function inventedSheet(neck: Neck, operator: InventedOperator, readings: InventedReadings): SurveySheet {
  return {
    neck: neck.name,
    stage: "invented",
    date: "",
    state: {},
    settings: readings.settings.map((setting) => edgeSetting(setting, operator)),
    rockers: readings.rockers.map((finding, index) => rockerReading(operator, finding, index)),
    seating: [],
    feelMm: operator.feelMm,
    assumed: [],
    notes: [],
  };
}

function edgeSetting(setting: InventedSetting, operator: InventedOperator): EdgeSetting {
  const { lengthMm, straightnessToleranceMm } = operator.edge;
  const tool: Tool = { name: "straightedge", kind: "straightedge", lengthMm, straightnessToleranceMm };
  const { line } = setting;
  return { label: `${ordinal(setting.number)} setting of the edge, ${line}`, tool, surface: "fretTops", path: { kind: "along", line }, readings: setting.gaps.map((gap) => gapReading(setting, gap)) };
}

function gapReading(setting: InventedSetting, gap: InventedSetting["gaps"][number]): GapReading {
  const place: Place = { label: String(gap.fret), xMm: gap.xMm, fret: gap.fret };
  return { line: setting.line, place, gap: gap.read.gap, written: withUnit(gap.read.written), origin: origin(`${setting.line}, setting ${setting.number}`, gap.fret) };
}

function rockerReading(operator: InventedOperator, finding: InventedReadings["rockers"][number], index: number): RockerReading {
  const { lengthMm, straightnessToleranceMm } = operator.rocker;
  return {
    line: finding.line,
    frets: finding.frets,
    deltaMm: finding.deltaMm,
    endsUMm: finding.endsUMm,
    tool: { name: "rocker", kind: "rocker", lengthMm, straightnessToleranceMm },
    written: typeof finding.written === "string" ? finding.written : finding.written.join(", "),
    origin: origin(finding.line, index + 1),
  };
}

function origin(column: string, row: number): Origin {
  return { source: SOURCE, row, column };
}

function withUnit(written: string): string {
  return /\d/.test(written) && written !== "0" ? `${written} thou` : written;
}

/** `first` to `fourth`, then `5th`. */
function ordinal(number: number): string {
  return ["first", "second", "third", "fourth"][number - 1] ?? `${number}th`;
}
