import { fretDistanceMm, fretTops } from "../neck/frets.js";
import { limitsOf } from "../neck/limits.js";
import { normalCdf } from "../survey/likelihood/normal.js";
import type { HeightTerm, NextReading, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { giveOrTakeMm } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import type { Decision, Question, ReadNext, Untold } from "./question.js";
import { readNextWords } from "./questionWords.js";
import { reliefs } from "./relief.js";
import { lineOverChord, scaled } from "./span.js";
import { wantedRelief } from "./wantedRelief.js";

const DRAWS = 1000;
const SEED = 44;

/** A reading that changes the decision less often than this is not worth taking for its sake. */
const RARELY = 0.02;

/**
 * The reading that shrinks the uncertainty of an asked number most, of all gaps that can be read now under an edge already laid down (also beyond what was read, as far as it may reach) and all
 * rockings on that line, with the expected gain; or that no further reading changes the decision.
 * How likely a decision is right is told by draws: a fret of which little was read is pressed in as intended or far out, and no normal distribution says so. The chance of a
 * change is taken before the reading: given what is true, the best estimate moves toward it by the share of the variance that the reading takes off, and by its own noise.
 * @throws {RangeError} a line or a fret that the neck does not have, or a wanted relief whose limits are not two numbers, the least first
 */
export function readNextFor(survey: Survey, question: Question): ReadNext {
  const asked = askedTerms(survey, question);
  if ("need" in asked) return told({ status: "undetermined", question, need: asked.need });
  const { measured } = asked;
  const drawn = asked.drawn();
  const next = survey.nextReading(asked.terms, "tried");
  const nowMm = giveOrTakeMm(measured);
  const decision = decide(survey, question, drawn);
  if (next.status === "little to gain") {
    const best = next.best === undefined ? {} : { best: next.best };
    if (decision !== undefined && decision.probability > 1 - RARELY) return told({ status: "decided", question, decision, chanceOfChange: 0, ...best });
    const edge = next.edgeMm === undefined ? {} : { edgeMm: (nowMm * next.edgeMm) / next.uNowMm };
    return told({ status: "little to gain", question, nowMm, ...edge, ...(decision === undefined ? {} : { decision }), ...best });
  }
  const thenMm = (nowMm * next.uThenMm) / next.uNowMm;
  const change = chanceOfChange(survey, question, { measured, drawn }, next);
  if (decision !== undefined && change !== undefined && change < RARELY) return told({ status: "decided", question, decision, chanceOfChange: change, best: next });
  return told({ status: "read", question, reading: next, nowMm, thenMm, ...(decision === undefined ? {} : { decision }), ...(change === undefined ? {} : { chanceOfChange: change }) });
}

/** What a question about a fret or the rod is decided as by a survey as it stands; undefined where it is not determined, or nothing is decided. */
export function decisionNow(survey: Survey, question: Question): Decision | undefined {
  const asked = askedTerms(survey, question);
  return "need" in asked ? undefined : decide(survey, question, asked.drawn());
}

function told(found: Untold<ReadNext>): ReadNext {
  return { ...found, describe: (order: UnitOrder = "mm first") => readNextWords(found, order) };
}

/** The asked number, the combination by which it is told, and draws of it where something is decided. */
type Asked = { readonly measured: Measured; readonly terms: readonly HeightTerm[]; readonly drawn: () => readonly number[] };

function drawsOf(survey: Survey, terms: readonly HeightTerm[]): readonly number[] {
  return survey.draws([terms], DRAWS, SEED).map((draw) => draw[0] ?? NaN);
}

function askedTerms(survey: Survey, question: Question): Asked | { readonly need: string } {
  if (!survey.neck.lines.some(({ name }) => name === question.line)) {
    throw new RangeError(`Cannot answer for line ${question.line}: the lines of this neck are ${survey.neck.lines.map(({ name }) => name).join(", ")}`);
  }
  checkWanted(question);
  if (question.about === "fret") return askedFret(survey, question);
  const relief = reliefs(survey).find(({ line }) => line === question.line);
  if (relief === undefined) return { need: survey.undetermined.find(({ line }) => line === question.line)?.need ?? `read the ${question.line} line` };
  if (relief.status === "undetermined") return { need: relief.need };
  const terms = scaled(-1, lineOverChord(question.line, relief.from.xMm, relief.to.xMm, relief.at.xMm));
  return { measured: relief.relief, terms, drawn: () => (question.about === "rod" ? drawsOf(survey, terms) : []) };
}

function checkWanted(question: Question): void {
  if (question.about !== "rod" || question.wantedMm === undefined) return;
  const { low, high } = question.wantedMm;
  if (!(low <= high) || !Number.isFinite(low) || !Number.isFinite(high)) {
    throw new RangeError(`Cannot say which way to turn the rod: expected a wanted relief from its least to its most in mm, got ${low} to ${high} (write { low: 0.1, high: 0.3 }; back bow is below 0)`);
  }
}

function askedFret(survey: Survey, { line, fret }: Extract<Question, { about: "fret" }>): ReturnType<typeof askedTerms> {
  if (!fretTops(survey.neck).includes(fret)) throw new RangeError(`Cannot answer for fret ${fret}: this neck has frets ${fretTops(survey.neck)[0] ?? 1} to ${survey.neck.frets}`);
  const read = survey.heights.filter((height) => height.line === line);
  const xMm = fretDistanceMm(survey.neck.scaleLengthMm, fret);
  const [first = Infinity, last = -Infinity] = [read[0]?.place.xMm, read.at(-1)?.place.xMm];
  if (xMm < first - 0.01 || xMm > last + 0.01) return { need: `rock a short edge over fret ${fret} on the ${line} line, and read gaps on both sides of it` };
  const terms: readonly HeightTerm[] = [{ of: "fretTop", line, fret, weight: 1 }, { of: "neckLine", line, xMm, weight: -1 }];
  return { measured: survey.linear(terms), terms, drawn: () => drawsOf(survey, terms) };
}

/** Limits between which the choices change, and the choices from below to above them. */
function choices(survey: Survey, question: Question): { readonly limits: readonly number[]; readonly of: readonly Decision["choice"][] } {
  const limits = limitsOf(survey.neck);
  if (question.about === "relief") return { limits: [], of: [] };
  if (question.about === "fret") return { limits: [limits.highMm], of: ["not high", "high"] };
  const { lowMm, highMm } = wantedOf(survey, question);
  return { limits: [lowMm, highMm], of: ["more relief", "leave it", "less relief"] };
}

/** What the rod is judged by: by the rule of rod advice, unless it was asked for otherwise. */
function wantedOf(survey: Survey, { wantedMm }: Extract<Question, { about: "rod" }>): NonNullable<Decision["wanted"]> {
  if (wantedMm !== undefined) return { lowMm: wantedMm.low, highMm: wantedMm.high, judged: "as asked" };
  const { minMm, maxMm, judged } = wantedRelief(survey, false);
  return { lowMm: minMm, highMm: maxMm, judged };
}

/** Chance that a normal number lies between neighbouring limits, for each stretch from below to above. */
function shares(limits: readonly number[], mean: number, sd: number): readonly number[] {
  const below = [0, ...limits.map((limit) => (sd > 0 ? normalCdf((limit - mean) / sd) : Number(limit > mean))), 1];
  return below.slice(1).map((share, at) => share - (below[at] ?? 0));
}

/** The stretch between limits that most draws fall into. */
function decide(survey: Survey, question: Question, drawn: readonly number[]): Decision | undefined {
  const { limits, of } = choices(survey, question);
  const probabilities = of.map((_, at) => drawn.filter((mm) => limits.filter((limit) => mm >= limit).length === at).length / drawn.length);
  const probability = Math.max(...probabilities);
  const choice = of[probabilities.indexOf(probability)];
  return choice === undefined ? undefined : { choice, probability, ...(question.about === "rod" ? { wanted: wantedOf(survey, question) } : {}) };
}

function chanceOfChange(survey: Survey, question: Question, { measured: { value, u }, drawn }: { readonly measured: Measured; readonly drawn: readonly number[] }, next: Extract<NextReading, { status: "worthwhile" }>): number | undefined {
  const { limits, of } = choices(survey, question);
  const decision = decide(survey, question, drawn);
  if (decision === undefined) return undefined;
  const taken = Math.max(0, 1 - (next.uThenMm / next.uNowMm) ** 2);
  const noiseMm = u * Math.sqrt(taken * (1 - taken));
  const stays = drawn.map((trueMm) => shares(limits, value + taken * (trueMm - value), noiseMm)[of.indexOf(decision.choice)] ?? 0);
  return 1 - stays.reduce((sum, share) => sum + share, 0) / drawn.length;
}
