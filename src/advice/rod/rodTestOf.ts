import type { Neck } from "../../neck/neck.js";
import { rodPosition, turnsClockwise, turnsTowardBackBow } from "../../readings/rodState.js";
import { nearestTop, scaled } from "../../shape/span.js";
import type { LineShift } from "../../survey/difference.js";
import type { HeightTerm } from "../../survey/survey.js";
import type { Together } from "../../survey/together.js";
import type { UnitOrder } from "../../units/words.js";
import { openContradictions, settledSlips } from "../contradiction.js";
import { CLOCKWISE_TIGHTENS, FILE_IS_RIGHT, type RodReading } from "./rodGrid.js";
import { rodTest, type RodTest } from "./rodTest.js";

/** Whether the rod bends the neck evenly. */
export type RodEvenness =
  | { readonly status: "even" | "kinked" | "not sure"; /** What the quarters move over what the middle moves: 0.75 for an even bend, 0.5 for one corner in the middle. */ readonly ratio: number; readonly probabilityKinked: number }
  | { readonly status: "not read" };

/** A rod test made of surveys, or what keeps them from being one. */
export type SurveyedRodTest =
  | (RodTest & { readonly status: "tested"; readonly evenness: RodEvenness; /** The readings say that the nut works the other way than the neck file says. */ readonly contradictsFile: boolean; /** Place at which the middle was taken. */ readonly at: string })
  | { readonly status: "undetermined"; readonly need: string; readonly describe: () => string };

/** Between an even bend (0.75) and one corner (0.5). */
const KINKED_RATIO = 0.62;
const SURE = 0.8;
const DRAWS = 400;
const SEED = 31;
/** The middle must move by so many standard uncertainties before its shape says anything. */
const MOVED = 4;

/**
 * Judges a rod by surveys of one neck at several positions of its nut, adjusted together so that the edge and the frets cancel.
 * Each survey's state must say where the rod stood: `neutral`, `1/4 turn clockwise`, `half a turn tighter`.
 * @param together surveys in the order in which they were taken
 */
export function rodTestOf(together: Together): SurveyedRodTest {
  const [first] = together.surveys;
  if (first === undefined) return undetermined("lay the edge on the neck and read its middle at two positions of the nut");
  const { neck } = first;
  const [open] = together.surveys.flatMap(openContradictions);
  if (open !== undefined) return undetermined(`read again what contradicts each other. ${open.sentence.replace(/[.]$/, "")}`);
  const positions = together.surveys.map(({ sheet }) => rodPosition(sheet.state.rod));
  const [towardBack, clockwise] = [positions.map((position) => turnsTowardBackBow(position, neck.rod)), positions.map((position) => turnsClockwise(position, neck.rod))];
  const byClock = known(clockwise);
  const turns = byClock ?? known(towardBack);
  if (turns === undefined) return undetermined('say in each survey where the rod stood, as "rod: neutral" or "rod: 1/4 turn clockwise"');
  const shifts = together.surveys.map((_, index) => (index === 0 ? [] : together.difference(0, index).lines));
  const lines = (shifts[1] ?? []).map(({ line }) => line).filter((line) => shifts.slice(1).every((each) => each.some((shift) => shift.line === line)));
  const span = commonSpan(shifts.flat().filter(({ line }) => lines.includes(line)));
  if (lines.length === 0 || !(span.toMm - span.fromMm > 0)) return undetermined("read the same line in every survey, from fret 1 to the body joint, its middle among the readings");
  const at = nearestTop(neck, (span.fromMm + span.toMm) / 2);
  const reliefs = shifts.map((each) => reliefTerms(each.filter(({ line }) => lines.includes(line)), span, at.xMm));
  const test = rodTest({ ...measuredReadings(together, turns, reliefs), towardBackShare: byClock === undefined ? 1 : neck.rod?.moreRelief === undefined ? CLOCKWISE_TIGHTENS : FILE_IS_RIGHT }, neck.rod);
  const evenness = evennessOf(together, turns, shifts, lines, span);
  const setAside = together.surveys.flatMap(settledSlips).map(({ sentence }) => sentence);
  const contradicted = neck.rod?.moreRelief !== undefined && test.moreRelief !== undefined && test.moreRelief.way !== neck.rod.moreRelief;
  return { ...test, status: "tested", evenness, contradictsFile: contradicted, at: at.label, describe: (order: UnitOrder = "mm first") => told(test, contradicted ? [contradiction(neck)] : [], [evennessWords(evenness, neck), ...setAside], order) };
}

function undetermined(need: string): SurveyedRodTest {
  return { status: "undetermined", need, describe: () => `The rod cannot be judged by these surveys. To fix it: ${need}.` };
}

function known(turns: readonly (number | undefined)[]): readonly number[] | undefined {
  const given = turns.flatMap((turn) => (turn === undefined ? [] : [turn]));
  return given.length === turns.length && given.length > 1 ? given : undefined;
}

type Chord = { readonly fromMm: number; readonly toMm: number };

/** What all changes reach. */
function commonSpan(shifts: readonly LineShift[]): Chord {
  return { fromMm: Math.max(...shifts.map(({ from }) => from.xMm)), toMm: Math.min(...shifts.map(({ to }) => to.xMm)) };
}

/** A change at x over the common chord. */
function overCommon(shift: LineShift, { fromMm, toMm }: Chord, xMm: number): readonly HeightTerm[] {
  const t = (xMm - fromMm) / (toMm - fromMm);
  return [...shift.at(xMm), ...scaled(t - 1, shift.at(fromMm)), ...scaled(-t, shift.at(toMm))];
}

/** Relief gained since the first survey, the mean of the lines. */
function reliefTerms(shifts: readonly LineShift[], chord: Chord, xMm: number): readonly HeightTerm[] {
  return shifts.flatMap((shift) => scaled(-1 / shifts.length, overCommon(shift, chord, xMm)));
}

/** Reliefs since the first survey with their covariance, by the variance of sums. */
function measuredReadings(together: Together, turns: readonly number[], reliefs: readonly (readonly HeightTerm[])[]): { readonly readings: readonly RodReading[]; readonly covarianceMm2: readonly (readonly number[])[] } {
  const measured = reliefs.map((terms) => (terms.length === 0 ? { value: 0, u: 0 } : together.linear(terms)));
  const covarianceMm2 = reliefs.map((a, row) => reliefs.map((b, column) => {
    const [u, v] = [measured[row]?.u ?? 0, measured[column]?.u ?? 0];
    if (row === column) return u ** 2;
    return a.length === 0 || b.length === 0 ? 0 : (together.linear([...a, ...b]).u ** 2 - u ** 2 - v ** 2) / 2;
  }));
  return { covarianceMm2, readings: turns.map((turn, index) => ({ turns: turn, reliefMm: measured[index]?.value ?? 0, uMm: measured[index]?.u ?? 0 })) };
}

/** From the two surveys between which the nut was turned most. */
function evennessOf(together: Together, turns: readonly number[], shifts: readonly (readonly LineShift[])[], lines: readonly string[], chord: Chord): RodEvenness {
  const [low, high] = [turns.indexOf(Math.min(...turns)), turns.indexOf(Math.max(...turns))];
  if (low === high || ![low, high].every((survey) => quartersRead(together, survey, lines, chord))) return { status: "not read" };
  const changeAt = (share: number): readonly HeightTerm[] => [[high, 1], [low, -1]].flatMap(([survey = 0, sign = 1]) =>
    (shifts[survey] ?? []).filter(({ line }) => lines.includes(line)).flatMap((shift) => scaled(sign / lines.length, overCommon(shift, chord, chord.fromMm + share * (chord.toMm - chord.fromMm)))));
  const middle = together.linear(changeAt(0.5));
  if (Math.abs(middle.value) < MOVED * middle.u) return { status: "not read" };
  const ratios = together.draws([changeAt(0.25), changeAt(0.5), changeAt(0.75)], DRAWS, SEED).map((draw) => ((draw[0] ?? 0) + (draw[2] ?? 0)) / (2 * (draw[1] ?? 1)));
  const probabilityKinked = ratios.filter((ratio) => ratio < KINKED_RATIO).length / ratios.length;
  const status = probabilityKinked > SURE ? "kinked" : probabilityKinked < 1 - SURE ? "even" : "not sure";
  return { status, probabilityKinked, ratio: [...ratios].sort((a, b) => a - b)[Math.floor(ratios.length / 2)] ?? NaN };
}

const contradiction = (neck: Neck): string => `Turn nothing yet: the neck file says that turning ${neck.rod?.moreRelief ?? ""} gives more relief, and these readings say the opposite. Look at the nut and the sheets, and correct the one that is wrong.`;

/** What contradicts comes first, the cautions last. */
function told(test: RodTest, first: readonly string[], words: readonly string[], order: UnitOrder): string {
  const lines = test.describe(order).split("\n");
  const before = lines.length - test.cautions.length;
  return [...first, ...lines.slice(0, before), ...words, ...lines.slice(before)].join("\n");
}

/** Between the ends and the middle something was read on both sides: a smooth line through three places is even by itself. */
function quartersRead(together: Together, survey: number, lines: readonly string[], { fromMm, toMm }: Chord): boolean {
  const shares = (together.surveys[survey]?.heights ?? []).filter(({ line }) => lines.includes(line)).map(({ place }) => (place.xMm - fromMm) / (toMm - fromMm));
  return shares.some((share) => share > 0.12 && share < 0.4) && shares.some((share) => share > 0.6 && share < 0.88);
}

function evennessWords(evenness: RodEvenness, neck: Neck): string {
  if (evenness.status === "not read") return "Whether the rod bends the neck evenly was not read: it needs a place on each side of the middle, at both ends of the turning.";
  if (evenness.status === "even") return "The rod bends the neck evenly.";
  const joint = neck.bodyJoint === undefined ? "the body joint" : `fret ${neck.bodyJoint}`;
  if (evenness.status === "kinked") return `The rod bends the neck mostly in one place, not evenly between fret 1 and ${joint}: look at the difference of the two surveys for the corner before you rely on it.`;
  return "Whether the rod bends the neck evenly is open: read more places between the ends at both positions of the nut.";
}
