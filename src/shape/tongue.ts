import type { HeightTerm, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { magnitude, turned } from "./drawn.js";
import { undeterminedWords } from "./reliefWords.js";
import { allTops, lineOverChord, named, scaled, spansOf } from "./span.js";
import type { Span, TopPlace } from "./span.js";

/**
 * The tongue, beyond the body joint: how far the neck line at the last fret read lies below the straight line from fret 1 through the
 * body joint carried on to it; mm, positive falls away.
 */
export type Tongue =
  | { readonly status: "falls away" | "rises" | "straight on"; readonly line: string; readonly fall: Measured; /** How far it rises over what the bow from fret 1 to the joint, carried on as a parabola, would lift it; mm. */ readonly overBow: Measured; readonly joint: TopPlace; readonly at: TopPlace; /** The last fret of the neck was read. */ readonly reached: boolean; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string; readonly describe: () => string };

/** A zero fret: how far its crown stands over the straight line from fret 1 to the body joint carried back to it; mm, positive stands above. */
export type ZeroFret =
  | { readonly status: "above" | "below" | "in line"; readonly line: string; readonly over: Measured; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string; readonly describe: () => string };

/** The tongue on every line that was read. */
export function tongues(survey: Survey): readonly Tongue[] {
  return spansOf(survey).map((span) => tongue(survey, span));
}

/** The zero fret on every line that was read; none on a neck with a nut. */
export function zeroFrets(survey: Survey): readonly ZeroFret[] {
  return survey.neck.zeroFret ? spansOf(survey).map((span) => zeroFret(survey, span)) : [];
}

function tongue(survey: Survey, span: Span): Tongue {
  const { bodyJoint, frets } = survey.neck;
  const without = (need: string): Tongue => ({ status: "undetermined", line: span.line, need, describe: () => undeterminedWords(span.line, need, "beyond the body joint") });
  if (span.status === "undetermined") return without(span.need);
  if (bodyJoint === undefined) return without("say in the neck file at which fret the neck meets the body (bodyJoint)");
  const at = allTops(survey.neck).filter(({ xMm }) => xMm <= (span.read.at(-1)?.xMm ?? 0) + 0.01).at(-1);
  if (span.to.fret !== bodyJoint || at === undefined || at.fret <= bodyJoint) return without(`read gaps on the ${span.line} line up to fret ${frets} under an edge that also reads frets before the body joint (fret ${bodyJoint})`);
  const fall = turned(survey.linear(lineOverChord(span.line, span.from.xMm, span.to.xMm, at.xMm)));
  const status = fall.low95 > 0 ? "falls away" : fall.high95 < 0 ? "rises" : "straight on";
  const overBow = survey.linear(overBowCarriedOn(span, at.xMm));
  const found = { status, line: span.line, fall, overBow, joint: span.to, at, reached: at.fret === frets } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => tongueWords(found, order) };
}

/** A parabola that lies s under its chord in the middle stands 4 s t (t - 1) over it at t times the chord's length. */
function overBowCarriedOn({ line, from, to }: Extract<Span, { status: "read" }>, xMm: number): readonly HeightTerm[] {
  const t = (xMm - from.xMm) / (to.xMm - from.xMm);
  return [...lineOverChord(line, from.xMm, to.xMm, xMm), ...scaled(4 * t * (t - 1), lineOverChord(line, from.xMm, to.xMm, (from.xMm + to.xMm) / 2))];
}

function zeroFret(survey: Survey, span: Span): ZeroFret {
  const without = (need: string): ZeroFret => ({ status: "undetermined", line: span.line, need, describe: () => undeterminedWords(span.line, need, "zero fret") });
  if (span.status === "undetermined") return without(span.need);
  const read = span.read.some((place) => place.fret === 0);
  if (!read) return without(`read the gap over fret 0 on the ${span.line} line under an edge that also lies over frets 1 and ${span.to.fret}`);
  const over = survey.linear(overLineCarriedBack(span));
  const status = over.low95 > 0 ? "above" : over.high95 < 0 ? "below" : "in line";
  const found = { status, line: span.line, over } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => zeroFretWords(found, order) };
}

function overLineCarriedBack({ line, from, to }: Extract<Span, { status: "read" }>): readonly HeightTerm[] {
  const t = -from.xMm / (to.xMm - from.xMm);
  return [
    { of: "fretTop", line, fret: 0, weight: 1 },
    { of: "neckLine", line, xMm: from.xMm, weight: t - 1 },
    { of: "neckLine", line, xMm: to.xMm, weight: -t },
  ];
}

function tongueWords({ status, line, fall, joint, at, reached }: Omit<Extract<Tongue, { fall: Measured }>, "describe">, order: UnitOrder): string {
  const where = `${named(line)}, beyond the body joint (fret ${joint.label}) at fret ${at.label}${reached ? "" : " (as far as was read)"}`;
  const much = measuredWords(magnitude(fall), order);
  if (status === "straight on") return `${where}: goes straight on within what was read, best estimate ${fall.value < 0 ? "rising" : "falling away"} by ${much}.`;
  return `${where}: ${status === "rises" ? "rises above" : "falls away below"} the line of the neck by ${much}.`;
}

function zeroFretWords({ status, line, over }: Omit<Extract<ZeroFret, { over: Measured }>, "describe">, order: UnitOrder): string {
  const much = measuredWords(magnitude(over), order);
  const where = `${named(line)}, zero fret against the line of frets 1 to the joint carried back`;
  if (status === "in line") return `${where}: in line within what was read, best estimate ${over.value < 0 ? "below" : "above"} by ${much}.`;
  return `${where}: stands ${status} it by ${much}.`;
}
