import { fretDistanceMm, fretTops } from "../neck/frets.js";
import type { Neck } from "../neck/neck.js";
import type { HeightTerm, Survey } from "../survey/survey.js";

/** A fret on one line of the neck. */
export type FretPlace = { readonly fret: number; readonly line: string };

/** The neck's outermost lines, which run along the ends of the frets; none on a neck with a single line. */
export function endLines({ lines }: Pick<Neck, "lines">): readonly string[] {
  return lines.length > 1 ? [lines[0].name, lines.at(-1)?.name ?? lines[0].name] : [];
}

/** Every fret and line of which something was read: a gap on its crown, or a rocker with this fret in the middle; by fret, then from bass to treble. */
export function readPlaces(survey: Survey): readonly FretPlace[] {
  const order = survey.neck.lines.map(({ name }) => name);
  const gaps = survey.sheet.settings.filter(({ surface, path }) => surface === "fretTops" && path.kind === "along").flatMap(({ readings }) => readings);
  const read = [
    ...survey.heights.filter(({ surface }) => surface === "fretTops").map(({ line, place }) => ({ line, fret: place.fret })),
    ...gaps.map(({ line, place }) => ({ line, fret: place.fret })),
    ...survey.sheet.rockers.map(({ line, frets }) => ({ line, fret: frets[1] })),
  ].flatMap(({ line, fret }) => (fret === undefined ? [] : [{ line, fret }]));
  const once = [...new Map(read.map((place) => [`${place.fret} ${place.line}`, place])).values()];
  return once.sort((a, b) => order.indexOf(a.line) - order.indexOf(b.line)).sort((a, b) => a.fret - b.fret);
}

/** Whether something was read on a fret, on any line: a gap, a dial over its crown, or a rocker with it in the middle. On others at most a tool stood. */
export function isRead({ sheet }: Pick<Survey, "sheet">, fret: number): boolean {
  return sheet.settings.some(({ surface, readings }) => surface === "fretTops" && readings.some(({ place }) => place.fret === fret)) || sheet.rockers.some(({ frets }) => frets[1] === fret);
}

/** How far the crown of a fret stands over the smooth neck line, as the survey is asked for it. */
export function overNeckLine(neck: Neck, { fret, line }: FretPlace): readonly HeightTerm[] {
  return [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm: fretDistanceMm(neck.scaleLengthMm, fret), weight: -1 }];
}

/** Whether a rocker over three frets can have this one in the middle: the outermost fret tops have a neighbour on one side alone. */
export function isRockable(neck: Pick<Neck, "frets" | "zeroFret">, fret: number): boolean {
  const tops = fretTops(neck);
  return fret > (tops[0] ?? fret) && fret < (tops.at(-1) ?? fret);
}

/** Why a fret at the end of what was read is known less surely, and what makes it surer. */
export function curveEndWords(neck: Pick<Neck, "frets" | "zeroFret">, fret: number): string {
  const surer = isRockable(neck, fret) ? "rock it" : "read it and the frets beside it under a fresh setting of the edge";
  return `It is near the end of what was read, where the line has fewer neighbours: ${surer} to be sure.`;
}

/** A curve has no neighbours beyond its ends: the end two frets at each side of what was read of a line are judged less surely than they look. */
export function isEndOfCurve(places: readonly FretPlace[], { fret, line }: FretPlace): boolean {
  const frets = places.filter((place) => place.line === line).map((place) => place.fret).sort((a, b) => a - b);
  const at = frets.indexOf(fret);
  return at < 2 || at >= frets.length - 2;
}

/** The frets of which nothing was read on a line that was read elsewhere. */
export function unreadFrets(survey: Survey, places: readonly FretPlace[]): readonly { readonly line: string; readonly frets: readonly number[] }[] {
  const lines = survey.neck.lines.map(({ name }) => name).filter((line) => places.some((place) => place.line === line));
  return lines.flatMap((line) => {
    const frets = fretTops(survey.neck).filter((fret) => !places.some((place) => place.line === line && place.fret === fret));
    return frets.length === 0 ? [] : [{ line, frets }];
  });
}
