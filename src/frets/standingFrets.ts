import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { fretHeights } from "./fretHeights.js";
import { fretZones, zoneOf } from "./zones.js";

/** A fret that stands above the neck line, with the lines on which it does. */
export type StandingFret = {
  readonly fret: number;
  readonly lines: readonly string[];
  /** Height over the neck line on the line where it stands highest, mm. */
  readonly high: Measured;
  /** Probability that it stands over the limit there. */
  readonly probability: number;
  readonly endOfCurve: boolean;
};

const NEARLY_SURE = 0.95;

/** Frets that more likely than not stand over the limit, in order along the neck; those of a zone are told with the zone. */
export function standingFrets(survey: Survey): readonly StandingFret[] {
  const zones = fretZones(survey);
  const standing = fretHeights(survey).filter(({ stands, fret }) => stands === "high" && zoneOf(zones, fret) === undefined);
  return [...new Set(standing.map(({ fret }) => fret))].flatMap((fret): StandingFret[] => {
    const here = standing.filter((height) => height.fret === fret).sort((a, b) => b.probabilityHigh - a.probabilityHigh);
    const [most] = here;
    return most === undefined ? [] : [{ fret, lines: here.map(({ line }) => line), high: most.high, probability: most.probabilityHigh, endOfCurve: most.endOfCurve }];
  });
}

/** Where it stands up, by how much, how sure. */
export function standingWords(fret: StandingFret, linesRead: number, order: UnitOrder): string {
  const where = fret.lines.length === linesRead && linesRead > 1 ? "on all lines read" : `on the ${fret.lines.join(" and ")} line`;
  const sure = fret.probability > NEARLY_SURE ? "stands" : "probably stands";
  const end = fret.endOfCurve ? " It is near the end of what was read, where the line has fewer neighbours: rock it to be sure." : "";
  return `Fret ${fret.fret} ${sure} above the neck line ${where}: ${measuredWords(fret.high, order)}.${end}`;
}
