import { limitsOf } from "../neck/limits.js";
import type { Survey } from "../survey/survey.js";
import { normalCdf } from "../survey/likelihood/normal.js";
import type { Measured } from "../units/measured.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";

/** A fret that stands above the neck line, with the lines on which it does. */
export type StandingFret = {
  readonly fret: number;
  readonly lines: readonly string[];
  /** Height over the neck line on the line where it stands highest, mm. */
  readonly high: Measured;
  /** Probability that it stands over the limit there. */
  readonly probability: number;
  /** A curve has no neighbours beyond its ends: the end two frets of each side are judged less surely than they look. */
  readonly endOfCurve: boolean;
};

const TELL_FROM = 0.5;
const NEARLY_SURE = 0.95;

/** Frets that more likely than not stand over the limit, in order along the neck; those of a zone are told with the zone. */
export function standingFrets(survey: Survey): readonly StandingFret[] {
  const { highMm } = limitsOf(survey.neck);
  const zoned = (fret: number): boolean => survey.zones.some((zone) => fret >= zone.fromFret && fret <= zone.toFret);
  const tops = survey.heights.flatMap(({ line, place }) => (place.fret === undefined || zoned(place.fret) ? [] : [{ line, fret: place.fret, xMm: place.xMm }]));
  const judged = tops.map((top) => {
    const high = survey.linear([{ of: "fretTop", line: top.line, fret: top.fret, weight: 1 }, { of: "neckLine", line: top.line, xMm: top.xMm, weight: -1 }]);
    return { ...top, high, probability: high.u > 0 ? normalCdf((high.value - highMm) / high.u) : 0 };
  });
  const standing = judged.filter(({ probability }) => probability > TELL_FROM);
  const frets = [...new Set(tops.map(({ fret }) => fret))].sort((a, b) => a - b);
  return frets.flatMap((fret): StandingFret[] => {
    const here = standing.filter((top) => top.fret === fret).sort((a, b) => b.probability - a.probability);
    const [most] = here;
    if (most === undefined) return [];
    const at = frets.indexOf(fret);
    return [{ fret, lines: here.map(({ line }) => line), high: most.high, probability: most.probability, endOfCurve: at < 2 || at >= frets.length - 2 }];
  });
}

/** Where it stands up, by how much, how sure. */
export function standingWords(fret: StandingFret, linesRead: number, order: UnitOrder): string {
  const where = fret.lines.length === linesRead && linesRead > 1 ? "on all lines read" : `on the ${fret.lines.join(" and ")} line`;
  const sure = fret.probability > NEARLY_SURE ? "stands" : "probably stands";
  const end = fret.endOfCurve ? " It is near the end of what was read, where the line has fewer neighbours: rock it to be sure." : "";
  return `Fret ${fret.fret} ${sure} above the neck line ${where}: ${measuredWords(fret.high, order)}.${end}`;
}
