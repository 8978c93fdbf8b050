import type { DataFrame } from "danfojs";
import { clearances as worked, type ClearanceOptions } from "../frets/clearance.js";
import type { Clearance } from "../frets/clearanceResult.js";
import { fretPlaces } from "../frets/fretPlaces.js";
import { percent } from "../frets/fretWords.js";
import { fretReport as reported, type FretReport } from "../frets/report.js";
import type { FretAction, FretFinding } from "../frets/finding.js";
import type { Neck } from "../neck/neck.js";
import type { Survey } from "../survey/survey.js";
import { MM_PER_THOU } from "../units/length.js";
import { giveOrTakeMm, type UnitOrder } from "../units/words.js";
import { dataFrame, type Columns } from "./dataFrame.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";

/**
 * Judge the frets of a surveyed neck: which are high, low or lifted at an end, how sure, what to do with each, and in what order.
 *
 *     const frets = fretReport(survey);
 *     tell(frets);
 *     show(frets);
 *     show(fretTable(frets));
 *
 * @param survey what `surveyNeck` gave; looks under crowns and the seating log count where the readings hold them
 */
export function fretReport(survey: Survey): FretReport {
  return plainly(() => whileSaying("Looking at every fret", () => reported(survey)));
}

/**
 * What a string clears when it is pressed at each fret: the least clearance on each line, and what would cure it. `tell` puts it into words.
 *
 *     tell(clearances(survey));
 *     tell(clearances(survey, { strings: { atNutMm: 0.4, atLastFretMm: 1.8 } }));
 *
 * @param options clearance wanted, and string heights where the neck file has none
 */
export function clearances(survey: Survey, options: ClearanceOptions = {}): readonly Clearance[] {
  return plainly(() => whileSaying("Pressing each string at every fret", () => worked(survey, options)));
}

/**
 * Every fret on every line as a table (a danfo.js DataFrame): height over the neck line, give or take, chance of being over the limit, how the fret stands, and what to do.
 * @param order which unit stands first; mm unless said
 */
export function fretTable(report: FretReport, order: UnitOrder = "mm first"): DataFrame {
  return plainly(() => dataFrame(fretColumns(report, order)));
}

function fretColumns(report: FretReport, order: UnitOrder): Columns {
  const rows = report.frets.flatMap((finding) => finding.lines.map((height) => ({ finding, height })));
  const heights = (mmPerUnit: number, unit: string, decimals: number): Columns => ({
    [`over the neck line ${unit}`]: rows.map(({ height }) => rounded(height.high.value / mmPerUnit, decimals)),
    [`give or take ${unit}`]: rows.map(({ height }) => rounded(giveOrTakeMm(height.high) / mmPerUnit, decimals)),
  });
  const [mm, thou] = [heights(1, "mm", 4), heights(MM_PER_THOU, "thou", 2)];
  return {
    fret: rows.map(({ height }) => height.fret), line: rows.map(({ height }) => height.line),
    ...(order === "mm first" ? { ...mm, ...thou } : { ...thou, ...mm }),
    "over the limit": rows.map(({ height }) => percent(height.probabilityHigh)),
    "the fret stands": rows.map(({ finding }) => `${finding.zone === undefined ? finding.class : `in the zone of frets ${finding.zone.fromFret} to ${finding.zone.toFret}`}${finding.where === "" ? "" : ` (${finding.where})`}`),
    "what to do": rows.map(({ finding }) => actionCell(finding)),
    note: rows.map(({ finding, height }) => (finding.rocksUnread.includes(height.line) ? "rocks, no leaf read" : height.endOfCurve ? "end of the curve" : "")),
  };
}

const CELLS: Readonly<Record<FretAction["do"], string>> = {
  leave: "leave", read: "read once more", "look under the crown": "leaf under the crown", "look into the zone": "leaf under the crowns of the zone", "look at the joint": "look at the joint", seat: "seat", level: "level", "pull and refit": "pull and refit",
};

function actionCell({ action }: FretFinding): string {
  return CELLS[action.do];
}

/**
 * Where the frets go: distance of each from the nut in mm and inches, the board's width and radius there, as a table for the bench.
 * @throws {Error} in one sentence for a board that is round at one end and flat at the other
 */
export function fretPlacesTable(neck: Neck): DataFrame {
  return plainly(() => {
    const places = fretPlaces(neck);
    return dataFrame({
      fret: places.map(({ fret }) => fret),
      "from the nut mm": places.map(({ fromNutMm }) => rounded(fromNutMm, 3)), "from the nut in": places.map(({ fromNutMm }) => rounded(fromNutMm / 25.4, 3)),
      "from the one before mm": places.map(({ fromBeforeMm }) => rounded(fromBeforeMm, 3)), "width mm": places.map(({ widthMm }) => rounded(widthMm, 2)),
      radius: places.map(({ radiusMm }) => (radiusMm === Infinity ? "flat" : `${radiusMm.toFixed(1)} mm (${(radiusMm / 25.4).toFixed(2)} in)`)),
    });
  });
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
