import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { distanceWords, lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { bendBeyondBow, bendPlaces, REACH_MM } from "./bend.js";
import { magnitude } from "./drawn.js";
import { fretsBetween, needBetween } from "./placesBetween.js";
import { undeterminedWords } from "./reliefWords.js";
import { allTops, named, spansOf } from "./span.js";
import type { Span, TopPlace } from "./span.js";

/**
 * What the neck line does at the body joint: how far it stands there over a short straight line laid across the joint (50 mm before it
 * to 50 mm after it, or to the last fret read), beyond what the even bow of the neck would; mm, positive is a hump.
 */
export type JointHump =
  | { readonly status: "hump" | "dip" | "level"; readonly line: string; readonly up: Measured; readonly at: TopPlace; readonly beforeMm: number; readonly afterMm: number; readonly describe: (order?: UnitOrder) => string }
  | { readonly status: "undetermined"; readonly line: string; readonly need: string; readonly describe: () => string };

/** Readings have to reach this far past the joint to say anything of it. */
const LEAST_AFTER_MM = 25;

/** About the joint neighbouring readings may be no farther apart than this, mm: a hump is judged from a place before it, at it, and after it. */
const APART_MM = REACH_MM;

/** The body joint of every line that was read, by a line that may have a corner there. */
export function jointHumps(survey: Survey): readonly JointHump[] {
  return spansOf(survey).map((span) => jointHump(survey, span));
}

function jointHump(survey: Survey, span: Span): JointHump {
  const missing = needFor(survey, span);
  if (missing !== undefined || span.status === "undetermined") return undetermined(span.line, missing ?? "");
  const afterMm = Math.min(REACH_MM, (span.read.at(-1)?.xMm ?? span.to.xMm) - span.to.xMm);
  const up = survey.linear(bendBeyondBow(span, span.to.xMm, afterMm));
  const status = up.low95 > 0 ? "hump" : up.high95 < 0 ? "dip" : "level";
  const found = { status, line: span.line, up, at: span.to, beforeMm: REACH_MM, afterMm } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => words(found, order) };
}

function needFor(survey: Survey, span: Span): string | undefined {
  if (span.status === "undetermined") return span.need;
  const { bodyJoint, frets } = survey.neck;
  if (bodyJoint === undefined) return "say in the neck file at which fret the neck meets the body (bodyJoint)";
  const joint = allTops(survey.neck).find(({ fret }) => fret === bodyJoint);
  const past = (span.read.at(-1)?.xMm ?? 0) - (joint?.xMm ?? Infinity);
  if (past >= LEAST_AFTER_MM && span.to.fret === bodyJoint && bendPlaces(span).length > 0) return needNear(survey, span);
  if (frets <= bodyJoint) return `nothing: the neck has no frets beyond the body joint (fret ${bodyJoint})`;
  return `read gaps on the ${span.line} line from before fret ${bodyJoint} to fret ${frets} under one edge that lies across the body joint`;
}

/** Frets to read about the joint, where readings are too far apart for a hump to be seen. */
function needNear(survey: Survey, { line, to, read }: Extract<Span, { status: "read" }>): string | undefined {
  const between = fretsBetween(survey, read, { fromMm: to.xMm - REACH_MM, toMm: to.xMm + REACH_MM, apartMm: APART_MM });
  return between.length === 0 ? undefined : needBetween(line, between, { what: "a hump", apartMm: APART_MM });
}

function undetermined(line: string, need: string): JointHump {
  return { status: "undetermined", line, need, describe: () => undeterminedWords(line, need, "body joint") };
}

function words({ status, line, up, at, beforeMm, afterMm }: Omit<Extract<JointHump, { up: Measured }>, "describe">, order: UnitOrder): string {
  const where = `${named(line)}, body joint (fret ${at.label}), over a straight line from ${distanceWords(beforeMm, order)} before it to ${distanceWords(afterMm, order)} after it`;
  if (status === "hump") return `${where}: a joint hump, ${measuredWords(up, order)}.`;
  if (status === "dip") return `${where}: a dip, ${measuredWords(magnitude(up), order)}.`;
  return `${where}: no hump and no dip within what was read; a hump of more than ${lengthWords(Math.max(0, up.high95), order)} is ruled out.`;
}
