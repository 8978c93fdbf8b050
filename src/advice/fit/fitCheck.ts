import { lengthMm } from "../../units/length.js";
import { capital } from "../../units/text.js";
import type { Outcome, Problem } from "../../units/problem.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import { advised, type Advice } from "../advice.js";
import { FIT_CAUTIONS } from "../cautions.js";

/** How the rod lies at one place of its channel: above the face that the board is glued to, or below it. */
export type RodSeat = { readonly at: string; readonly aboveMm: number; readonly uMm: number };

/** What a builder says of a dry fit. */
export type FitReadings = {
  /** Place and height of the rod over the channel's face: `"0.2 mm above"`, `"8 thou below"`, `"flush"`, or a number in mm (above 0 is above). Three places or more: nut end, middle, heel end. */
  readonly rod: { readonly [place: string]: string | number };
  /** The rod lies straight in its channel by itself, without being pushed. */
  readonly liesStraight?: boolean;
  /** The nut turns freely with the rod in its channel, both ways where it works both ways. */
  readonly nutTurns?: boolean;
  /** Both faces to be glued are flat: no light under an edge laid along and across them. */
  readonly facesFlat?: boolean;
  /** Standard uncertainty of those heights, mm; 0.03 where absent (a leaf or a caliper by hand, own estimate). */
  readonly uMm?: number;
};

/** What to do before the board is glued on. */
export type FitDecision = "deepen the channel" | "take up the gap" | "mend the fit first" | "fits";

/** Fit advice with its numbers. */
export type FitAdvice = Advice<FitDecision> & {
  readonly seats: readonly RodSeat[];
  /** Where to take wood away, and how much, mm. */
  readonly deepen: readonly { readonly at: string; readonly byMm: number }[];
};

/** A rod that is above the face by more than this holds the board off its glue; common practice, no source. */
const PROUD_MM = 0.02;
/** Air left over the rod so that it never carries the board; common practice, no source. */
const AIR_MM = 0.1;
/** Lower than this the rod moves before it bears, and may rattle; common practice, no source. */
const LOW_MM = 0.5;
const U_MM = 0.03;
/** An edge laid across shows light under a step of a hundredth. */
const FLUSH_U_MM = 0.008;
const PLACES = 3;

/**
 * The dry fit of a rod: above or below the face that the board is glued to, what that does to the joint, and what to do.
 * @returns advice; or every problem of what was written
 */
export function fitCheck(readings: FitReadings, order: UnitOrder = "mm first"): Outcome<FitAdvice> {
  const read = Object.entries(readings.rod).map(([at, written]) => seatOf(at, written, readings.uMm ?? U_MM));
  const problems = read.flatMap((one): readonly Problem[] => ("problem" in one ? [one.problem] : []));
  const few: readonly Problem[] = read.length < PLACES ? [{ source: "your dry fit", column: "rod", found: `${read.length} places`, expected: "the rod at three places or more: nut end, middle, heel end" }] : [];
  const wrongU: readonly Problem[] = readings.uMm !== undefined && !(readings.uMm > 0 && readings.uMm < 5) ? [{ source: "your dry fit", column: "uMm", found: String(readings.uMm), expected: "an uncertainty above 0 mm" }] : [];
  const [first, ...others] = [...problems, ...few, ...wrongU];
  if (first !== undefined) return { status: "refused", problems: [first, ...others] };
  return { status: "read", value: judged(read.flatMap((one) => ("problem" in one ? [] : [one])), readings, order) };
}

function judged(seats: readonly RodSeat[], readings: FitReadings, order: UnitOrder): FitAdvice {
  const proud = seats.map((seat) => ({ seat, probability: normalCdf((seat.aboveMm - PROUD_MM) / seat.uMm) }));
  const low = seats.map((seat) => ({ seat, probability: normalCdf((-LOW_MM - seat.aboveMm) / seat.uMm) }));
  // all heights share one caliper or edge, so the worst place decides and doubts are not added up
  const worst = (each: readonly { readonly probability: number }[]): number => Math.max(...each.map(({ probability }) => probability));
  const [someProud, someLow] = [worst(proud), worst(low)];
  const faults = faultsOf(readings);
  const decision: FitDecision = someProud >= 0.5 ? "deepen the channel" : faults.length > 0 ? "mend the fit first" : someLow >= 0.5 ? "take up the gap" : "fits";
  const deepen = decision === "deepen the channel" ? proud.filter(({ probability }) => probability >= 0.5).map(({ seat }) => ({ at: seat.at, byMm: seat.aboveMm + AIR_MM })) : [];
  const probability = decision === "deepen the channel" ? someProud : decision === "take up the gap" ? someLow : decision === "fits" ? Math.max(0, 1 - someProud - someLow) : 1;
  const unsure = seats.filter((_, index) => isOpen(proud[index]?.probability) || isOpen(low[index]?.probability));
  return advised({
    decision, seats, deepen, probability,
    headline: headlineOf(decision, deepen, faults, order),
    reasons: [
      ...seats.map((seat) => seatWords(seat, order)),
      ...(decision === "deepen the channel" ? ["A rod above the face carries the board: the glue joint stays open beside it, the board rocks on it, and clamps bend the board over it."] : []),
      ...(decision === "take up the gap" ? ["A rod this far below the face moves before it bears, so the first part of a turn does nothing, and it may rattle. Take the gap up with what the rod maker names for it; nothing hard that lifts the board."] : []),
      ...(decision === "fits" ? ["The rod lies at or below the face everywhere, so the board meets its glue, and near enough to bear early."] : []),
      ...(decision === "mend the fit first" ? [] : faults),
    ],
    readIfUnsure: [...looksOf(readings), ...unsure.map((seat) => `Not sure at the ${seat.at}: lay a short edge across the channel there and slide the thinnest leaf under it, over the rod and beside it.`)],
    cautions: FIT_CAUTIONS,
    assumed: [
      ...(decision === "deepen the channel" ? [`clearance over the rod: ${lengthWords(AIR_MM, order)} (common practice, no source)`] : []),
      ...(readings.uMm === undefined ? [`heights of the rod: right within ${lengthWords(2 * U_MM, order)}, as by leaf or caliper (own estimate)`] : []),
    ],
  });
}

function isOpen(probability: number | undefined): boolean {
  return probability !== undefined && probability > 0.1 && probability < 0.9;
}

/** What was looked at and found wanting; each can be mended before anything is glued, and not afterwards. */
function faultsOf({ liesStraight, nutTurns, facesFlat }: FitReadings): readonly string[] {
  return [
    ...(liesStraight === false ? ["The rod does not lie straight by itself: find what pushes it (a step, chips, a tight end block), since a rod that is bent by its channel binds and rattles."] : []),
    ...(nutTurns === false ? ["The nut does not turn freely in the channel: find where it rubs before anything is glued; afterwards it cannot be reached."] : []),
    ...(facesFlat === false ? ["The faces to be glued are not flat: a joint that is closed by clamps opens again or bends the neck. Plane them flat first."] : []),
  ];
}

/** What was not looked at yet. */
function looksOf({ liesStraight, nutTurns, facesFlat }: FitReadings): readonly string[] {
  return [
    ...(liesStraight === undefined ? ["Before you glue, look whether the rod lies straight by itself, without being pushed."] : []),
    ...(nutTurns === undefined ? ["Before you glue, try whether the nut turns freely with the rod in its channel."] : []),
    ...(facesFlat === undefined ? ["Before you glue, lay an edge along and across both faces and look for light."] : []),
  ];
}

function headlineOf(decision: FitDecision, deepen: FitAdvice["deepen"], faults: readonly string[], order: UnitOrder): string {
  if (decision === "deepen the channel") return `Do not glue yet: deepen the channel ${deepen.map(({ at, byMm }) => `at the ${at} by ${lengthWords(byMm, order)}`).join(", ")}: as far as the rod stands above the face, and ${lengthWords(AIR_MM, order)} more, so that it never carries the board.`;
  if (decision === "take up the gap") return "The board can be glued; take up the gap over the rod first.";
  return decision === "fits" ? "The rod fits." : `Do not glue yet. ${faults[0] ?? ""}`;
}

function seatWords({ at, aboveMm }: RodSeat, order: UnitOrder): string {
  if (Math.abs(aboveMm) < PROUD_MM / 2) return `${capital(at)}: flush with the face.`;
  return `${capital(at)}: ${lengthWords(Math.abs(aboveMm), order)} ${aboveMm > 0 ? "above" : "below"} the face.`;
}

function seatOf(at: string, written: string | number, uMm: number): RodSeat | { readonly problem: Problem } {
  const wrong = { problem: { source: "your dry fit", column: `rod.${at}`, found: JSON.stringify(written) ?? "nothing", expected: 'how the rod lies there, as "0.2 mm above", "8 thou below", "flush", or a number in mm (above 0 is above the face)' } };
  if (typeof written === "number") return Number.isFinite(written) && Math.abs(written) <= 20 ? { at, aboveMm: written, uMm } : wrong;
  if (typeof written !== "string") return wrong;
  if (/^\s*(flush|level|even)\s*$/i.test(written)) return { at, aboveMm: 0, uMm: Math.min(uMm, FLUSH_U_MM) };
  const match = /^\s*(.*?)\s*(above|over|proud|below|under)\s*$/i.exec(written);
  const mm = lengthMm(match?.[1] ?? "");
  const hasUnit = /[a-z"]/i.test(match?.[1] ?? "");
  if (match === null || mm === undefined || mm < 0 || mm > 20 || !hasUnit) return wrong;
  return { at, aboveMm: /below|under/i.test(match[2] ?? "") ? -mm : mm, uMm };
}
