import { placeWords } from "../readings/entries.js";
import { lengthWords } from "../units/words.js";
import { capital } from "../units/text.js";
import type { UnitOrder } from "../units/words.js";
import { straightWithinWords, underStringsWords } from "./wantedRelief.js";
import type { Decision, Question, ReadNext, StillBest, Untold } from "./question.js";

/** The next reading as a builder is told it: what to do, where, why, how sure. */
export function readNextWords(found: Untold<ReadNext>, order: UnitOrder): string {
  const what = asked(found.question);
  if (found.status === "undetermined") return `${capital(what)}: not determined by these readings. To fix it: ${found.need}.`;
  if (found.status === "decided") return `${decided(found.question, found.decision, order)} No further reading is likely to change that.`;
  const sofar = found.decision === undefined ? "" : `${decided(found.question, found.decision, order)} `;
  if (found.status === "little to gain") {
    return `${sofar}No single further reading under an edge as it lies sharpens ${what} by much: its give or take is ${lengthWords(found.nowMm, order)}. ${whatThen(found, order)}`;
  }
  const change = found.chanceOfChange === undefined ? "" : ` It changes the decision ${timesInTen(found.chanceOfChange)}.`;
  return `${sofar}Read next: ${toReadWords(found.reading)}. The give or take of ${what} would go from ${lengthWords(found.nowMm, order)} to about ${lengthWords(found.thenMm, order)}.${change}`;
}

/** What to do to take a reading: `slide a leaf under the same edge at fret 4, centre line`. */
export function toReadWords({ tool, at, line, beyond }: Omit<StillBest, "uThenMm"> & { readonly beyond?: true }): string {
  const how = { rocker: "rock a short edge over", straightedge: "slide a leaf under the same edge at", sightingBars: "lay sighting bars over" }[tool];
  return `${how} ${placeWords(at.label)}, ${line} line${beyond === true ? ", if the edge reaches that far as it lies" : ""}`;
}

/** What is left to do where no single reading gains much: the edge's own bow is not told by readings along the line. */
function whatThen({ question, edgeMm }: Extract<Untold<ReadNext>, { status: "little to gain" }>, order: UnitOrder): string {
  if (edgeMm === undefined) return `Set the edge down afresh on the ${question.line} line and read it again.`;
  return edgeBowWords(edgeMm, order);
}

/** What is left to do where most of a give or take is the edge's own bow, of which `edgeMm` of it is. */
export function edgeBowWords(edgeMm: number, order: UnitOrder): string {
  return `About ${lengthWords(edgeMm, order)} of that is the edge's own bow, which no reading along the line tells from the neck's: have the edge checked and state its bow, or read the line under a taut string too.`;
}

function timesInTen(chance: number): string {
  const times = Math.round(10 * chance);
  if (times === 0) return "less than 1 time in 20";
  return `about ${times} time${times === 1 ? "" : "s"} in 10`;
}

function asked(question: Question): string {
  return question.about === "fret" ? `the height of fret ${question.fret} on the ${question.line} line` : `the relief of the ${question.line} line`;
}

function decided(question: Question, { choice, probability, wanted }: Decision, order: UnitOrder): string {
  const sure = probability > 0.975 ? "" : probability > 0.8 ? " probably" : " perhaps";
  const where = `${capital(question.line)} line:`;
  if (question.about === "fret") return `${where} fret ${question.fret} is${sure} ${choice}.`;
  const aim = wanted === undefined ? "" : `: ${wantedWords(wanted, order)}`;
  if (choice === "leave it") return `${where} the relief is${sure} within what is wanted${aim}.`;
  return `${where} the rod would${sure} have to be turned for ${choice}, ${choice === "more relief" ? "toward forward bow (middle low)" : "toward back bow (middle high)"}, to come to what is wanted${aim}.`;
}

function wantedWords({ lowMm, highMm, judged }: NonNullable<Decision["wanted"]>, order: UnitOrder): string {
  if (judged === "bare") return `${straightWithinWords(highMm, order)}, as a neck that goes out bare is to be. If it will be strung, ask rod advice`;
  return `${underStringsWords(lowMm, highMm, order)}${judged === "under strings" ? ", under strings" : ""}`;
}
