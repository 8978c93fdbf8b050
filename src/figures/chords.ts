import type { Height, Survey } from "../survey/survey.js";
import type { ChordNames, DrawnRelief } from "./drawing.js";

/** Whether this place is one from which the chord of its line is drawn: its height is 0 by agreement and was not found by reading. */
export function isChordEnd(survey: Survey, height: Pick<Height, "line" | "at">): boolean {
  return survey.datum.some(({ line, from, to }) => line === height.line && (from.label === height.at || to.label === height.at));
}

/** The chord from which heights are counted and the chord of the relief, told apart in words. */
export function chordNames(survey: Survey, lines: readonly string[], reliefs: readonly DrawnRelief[]): ChordNames {
  const data = survey.datum.filter((datum) => lines.includes(datum.line));
  const found = reliefs.flatMap((relief) => (relief.status === "determined" && lines.includes(relief.line) ? [relief] : []));
  const between = common(data.map(({ from, to }) => endsWords(from.label, to.label)));
  const what = data.every(({ from, to }) => isFret(from.label) && isFret(to.label)) ? "fret" : "place";
  const datum = `height 0: chord, first to last ${what} read`;
  const counted = `Heights are counted from the chord of the first and the last ${what} read${between === undefined ? "" : ` (${between})`}.`;
  if (found.length === 0) return { datum, told: data.length === 0 ? [] : [counted] };
  const joint = String(survey.neck.bodyJoint ?? "");
  const span = common(found.map(({ from, to }) => endsWords(from.label, to.label)));
  const short = common(found.map(({ from, to }) => `fret ${from.label} to ${to.label === joint ? "joint" : `fret ${to.label}`}`));
  if (span !== undefined && span === between) return { datum: `${datum}; relief too`, told: [counted, "Arrow: relief, from this chord to the neck line."] };
  const own = `Arrow: relief, from its own chord${span === undefined ? "" : ` (thin line, ${span})`} to the neck line.`;
  return { datum, relief: `chord of the relief${short === undefined ? "" : `, ${short}`}`, told: [counted, own] };
}

function endsWords(from: string, to: string): string {
  return isFret(from) && isFret(to) ? `frets ${from} and ${to}` : `places ${from} and ${to}`;
}

function isFret(label: string): boolean {
  return /^\d+$/.test(label);
}

/** The text that all have, if they all have one. */
function common(texts: readonly string[]): string | undefined {
  const [first] = texts;
  return texts.every((text) => text === first) ? first : undefined;
}
