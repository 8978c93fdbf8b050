import type { Neck } from "../neck/neck.js";
import { stringsState } from "../readings/stringsState.js";
import type { Survey } from "../survey/survey.js";
import { allTops, topOverChord } from "../shape/span.js";
import type { TopPlace } from "../shape/span.js";
import type { UnitOrder } from "../units/words.js";
import { clearanceOf } from "./clearanceOf.js";
import type { DrawnNeck } from "./clearanceOf.js";
import { fretsInTheWay } from "./fretsFirst.js";
import type { Clearance } from "./clearanceResult.js";
import { overNeckLine } from "./places.js";
import type { CrownTop } from "./pressed.js";
import { fretReport } from "./report.js";
import { saddleOf, stringHeights } from "./stringPath.js";
import type { StringHeights } from "./stringPath.js";

const DRAWS = 400;
const SEED = 43;
/** No string is set so high; more is a slip of the pen or of the unit. */
const TOO_HIGH_MM = 20;

/** What may be chosen: the clearance wanted, and string heights where the neck file has none. */
export type ClearanceOptions = {
  /** Least clearance wanted under a pressed string, mm; 0.05 unless said (common practice, no source). */
  readonly wantedMm?: number;
  readonly strings?: StringHeights;
};

/**
 * For each line read: the string pressed at every fret in turn, straight to the saddle, and the least clearance over the frets beyond, with its interval by joint
 * draws of all crowns; the fret that makes it; and what would cure it where it is less than wanted: first the frets that the fret report wants seated or levelled, then relief, fall-away or the saddle. Crowns that were not read are as uncertain as frets are.
 * The neck is taken as it was read: with the strings off it has less relief than under strings (put the predicted shape in, `predictedClearance`).
 * @param survey what `adjust` gave
 * @returns undetermined on a line that was not read from fret 1 to the neck's last fret, over which the string's height is stated
 * @throws {RangeError} string heights or a clearance that are none
 */
export function clearances(survey: Survey, options: ClearanceOptions = {}): readonly Clearance[] {
  const { strings, wantedMm } = options;
  if (strings !== undefined && !(strings.atNutMm >= 0 && strings.atNutMm < TOO_HIGH_MM && strings.atLastFretMm > 0 && strings.atLastFretMm < TOO_HIGH_MM)) throw new RangeError(`Cannot tell what a string clears ${strings.atNutMm} mm over the nut's crown plane and ${strings.atLastFretMm} mm over the last fret: expected string heights of 0 to ${TOO_HIGH_MM} mm, as { atNutMm: 0.4, atLastFretMm: 1.8 }`);
  if (wantedMm !== undefined && !(wantedMm >= 0 && wantedMm < TOO_HIGH_MM)) throw new RangeError(`Cannot ask for a clearance of ${wantedMm} mm: expected 0 to ${TOO_HIGH_MM} mm`);
  return survey.datum.map(({ line }) => clearanceOnLine(survey, line, options));
}

function clearanceOnLine(survey: Survey, line: string, options: ClearanceOptions): Clearance {
  const { neck } = survey;
  const heights = options.strings ?? lineHeights(neck, line);
  const tops = topsBetween(survey, line);
  if (heights === undefined) return undetermined(line, STRINGS_NEEDED);
  const [first, last] = [tops[0], tops.at(-1)];
  if (first === undefined || last === undefined || first.fret > 1 || last.fret < neck.frets) return undetermined(line, readingsNeeded(neck, line, first, last));
  const topsFrom = (values: ArrayLike<number>): readonly CrownTop[] => tops.map(({ fret, xMm }, index) => ({ fret, xMm, heightMm: values[index] ?? 0 }));
  const drawn = (values: ArrayLike<number>): DrawnNeck => {
    const crowns = topsFrom(values);
    return { tops: crowns, saddle: saddleOf(neck.scaleLengthMm, crowns, heights) };
  };
  const forms = tops.map((top) => topOverChord(line, first, last, top));
  const best = drawn(forms.map((terms) => survey.linear(terms).value));
  const draws = survey.draws(forms, DRAWS, SEED).map(drawn);
  return clearanceOf({ neck, line, best, draws, first: ({ tops: crowns, saddle }, wanted) => fretsInTheWay(fretReport(survey), (fret) => survey.linear(overNeckLine(neck, { fret, line })).value, crowns, saddle, wanted), note: stateNote(survey), ...(options.wantedMm === undefined ? {} : { wantedMm: options.wantedMm }) });
}

/** Strings pull a neck into forward bow: what was read without them is not what the player has. */
function stateNote({ sheet }: Survey): string {
  const { strings } = sheet.state;
  const state = stringsState(strings);
  if (state === "unclear") return `Whether the strings were on when it was read is not clear ("${strings ?? ""}"): off, it has more relief under strings than here.`;
  return state === "off" ? "This is the neck as read, strings off: under strings it has more relief." : "";
}

/** From the first to the last fret that the datum of the line reaches, read or not. */
function topsBetween({ neck, datum }: Survey, line: string): readonly TopPlace[] {
  const { from, to } = datum.find((one) => one.line === line) ?? {};
  if (from?.fret === undefined || to?.fret === undefined) return [];
  const [first, last] = [from.fret, to.fret];
  return allTops(neck).filter(({ fret }) => fret >= first && fret <= last);
}

/** The string's heights are stated over the nut and over the neck's last fret: a chord that ends before either places it wrongly. */
function readingsNeeded({ frets }: Neck, line: string, first: TopPlace | undefined, last: TopPlace | undefined): string {
  const so = first === undefined || last === undefined ? "" : `; these reach from fret ${first.label} to fret ${last.label}, and where the string lies over fret ${frets} and the nut is told from there only by guess`;
  return `read gaps on the fret tops of the ${line} line from fret 1 to fret ${frets}, under edges that overlap if one is too short${so}`;
}

/** What the neck file lacks where nothing is known of the strings. */
export const STRINGS_NEEDED = "give the neck's strings, heightAtNut and heightAtLastFret: the underside of the strings over the crowns, measured or planned";

/** String heights of a line by name. */
export function lineHeights(neck: Neck, line: string): StringHeights | undefined {
  const known = neck.lines.find(({ name }) => name === line);
  return known === undefined ? undefined : stringHeights(neck, known);
}

/** A line whose clearance cannot be told, and what would tell it. */
export function undetermined(line: string, need: string): Clearance {
  return { status: "undetermined", line, need, describe: (_order?: UnitOrder) => `String on the ${line} line: what it clears is not determined. To fix it: ${need}.` };
}
