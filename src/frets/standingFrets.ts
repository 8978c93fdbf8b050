import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { capital } from "../units/text.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { humpedLines, isAtJoint } from "./doubts.js";
import { fretHeights } from "./fretHeights.js";
import { fretsWords } from "./lists.js";
import { curveEndWords } from "./places.js";
import { linesOfThree } from "./unsplitBow.js";
import { besideZone, fretZones, zoneOf } from "./zones.js";

/** A fret that stands above the neck line, with the lines on which it does. */
export type StandingFret = {
  readonly fret: number;
  readonly lines: readonly string[];
  /** Height over the neck line on the line where it stands highest, mm. */
  readonly high: Measured;
  /** Probability that it stands over the limit there. */
  readonly probability: number;
  readonly endOfCurve: boolean;
  /** The neck line has a hump at the body joint, and the fret lies on it. */
  readonly atHump: boolean;
};

const NEARLY_SURE = 0.95;

/**
 * Frets that more likely than not stand over the limit, in order along the neck; those of a zone, or right beside an open one, are told with the zone, but for one that rises with a hump of the joint. None of a line of which only three places
 * were read, where a bow looks the same.
 */
export function standingFrets(survey: Survey): readonly StandingFret[] {
  const zones = fretZones(survey);
  const three = linesOfThree(survey);
  const humped = humpedLines(survey);
  const heights = fretHeights(survey).map((height) => ({ ...height, zone: zoneOf(zones, height.fret), atHump: isAtJoint(survey.neck, height.fret) && humped.includes(height.line) }));
  const standing = heights.filter(({ fret, stands, line, zone, atHump }) => !three.includes(line) && (zone === undefined ? stands === "high" && besideZone(zones, fret) === undefined : zone.reason === "open" && atHump));
  return [...new Set(standing.map(({ fret }) => fret))].flatMap((fret): StandingFret[] => {
    const here = standing.filter((height) => height.fret === fret).sort((a, b) => b.probabilityHigh - a.probabilityHigh);
    const [most] = here;
    return most === undefined ? [] : [{ fret, lines: here.map(({ line }) => line), high: most.high, probability: most.probabilityHigh, endOfCurve: most.endOfCurve, atHump: most.atHump }];
  });
}

/** Each fret that stands up in a sentence of its own; those that rise with a hump of the body joint in one. */
export function allStandingWords(frets: readonly StandingFret[], { neck, datum }: Pick<Survey, "neck" | "datum">, order: UnitOrder): readonly string[] {
  const humped = frets.filter(({ atHump }) => atHump).map(({ fret }) => fret);
  const rise = humped.length === 0 ? [] : [`${capital(fretsWords(humped))} ${humped.length === 1 ? "rises" : "rise"} with the body joint, where the neck line has a hump: do not file ${humped.length === 1 ? "it" : "them"} alone, look at the bare wood across the joint first.`];
  const apart = frets.filter(({ atHump }) => !atHump);
  const next = apart.length === 0 ? [] : [`What to do with ${apart.length === 1 ? "it" : "them"} is in the fret report; look under the crown before you tap or file.`];
  return [...rise, ...apart.map((fret) => standingWords(fret, neck, datum.length, order)), ...next];
}

/** Where it stands up, by how much, how sure. */
function standingWords(fret: StandingFret, neck: Survey["neck"], linesRead: number, order: UnitOrder): string {
  const where = fret.lines.length === linesRead && linesRead > 1 ? "on all lines read" : `on the ${fret.lines.join(" and ")} line`;
  const sure = fret.probability > NEARLY_SURE ? "stands" : "probably stands";
  const end = fret.endOfCurve ? ` ${curveEndWords(neck, fret.fret)}` : "";
  return `Fret ${fret.fret} ${sure} above the neck line ${where}: ${measuredWords(fret.high, order)}.${end}`;
}
