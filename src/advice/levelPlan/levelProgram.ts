import { linesOf, reseatable } from "./problem.js";
import type { BeamLine, LevelProblem } from "./problem.js";
import type { MixedProgram, ProgramColumn, ProgramRow } from "./program.js";

/** Tilts are carried per 100 mm, so that all unknowns are of the size of millimetres. */
const TILT_BASE_MM = 100;
/** Weight of the most that comes off one top, beside the sum over all. */
export const MOST_WEIGHT = 0.001;

/** What a program is asked for: the plan itself, with the frets to reseat given or free, or what a plan lacks. */
export type Ask = {
  /** Frets that are reseated; free (up to `reseatMax`) where absent. */
  readonly reseat?: readonly number[];
  /** A fret whose tops may stay under the beam, however far. */
  readonly leftOut?: number;
  /** Which limit may give way; the least giving way is then the cost. */
  readonly giveWay?: "crown" | "low frets" | "rod" | "reseating";
};

/** How far the rod may be thought beyond its range when asking what would help, mm. */
const ROD_BEYOND_MM = 3;

/** The program of a levelling: minimise sum r + 0.001 max r, or what gives way. Names: r0, w0 (top), s7 (fret), a0, b0 (line), c, rod, most, crown. */
export function levelProgram(problem: LevelProblem, ask: Ask = {}): MixedProgram {
  const isPlan = ask.giveWay === undefined;
  const most: readonly ProgramColumn[] = isPlan ? [{ name: "most", cost: MOST_WEIGHT, low: 0, high: Infinity }] : [];
  return {
    columns: [...removalColumns(problem, ask), ...beamColumns(problem), ...rodColumns(problem, ask), ...reseatColumns(problem, ask), ...most],
    rows: [
      ...problem.tops.map((_, index) => bandRow(problem, ask, index)),
      ...(isPlan ? problem.tops.map((_, index): ProgramRow => ({ name: `m${index}`, terms: [["most", 1], [`r${index}`, -1]], low: 0, high: Infinity })) : []),
      ...reseatRows(problem, ask), ...crownRows(problem, ask), ...rodRows(problem, ask),
    ],
  };
}

/** The beam's lines in a solution. */
export function beamLines(problem: LevelProblem, values: ReadonlyMap<string, number>): readonly BeamLine[] {
  return linesOf(problem).map((line, index) => {
    const own = problem.datum === "one plane" ? 0 : index;
    return { line, levelMm: values.get(`a${own}`) ?? NaN, tiltMmPerMm: (values.get(`b${own}`) ?? NaN) / TILT_BASE_MM, acrossMmPerMm: (values.get("c") ?? 0) / TILT_BASE_MM };
  });
}

function removalColumns({ tops }: LevelProblem, { giveWay }: Ask): readonly ProgramColumn[] {
  const removals = tops.map((top, index): ProgramColumn => ({ name: `r${index}`, cost: giveWay === undefined ? 1 : 0, low: 0, high: giveWay === "crown" || top.spareMm < 0 ? Infinity : top.spareMm }));
  if (giveWay === "crown") return [...removals, { name: "crown", cost: 1, low: 0, high: Infinity }];
  return giveWay === "low frets" ? [...removals, ...tops.map((_, index): ProgramColumn => ({ name: `w${index}`, cost: 1, low: 0, high: Infinity }))] : removals;
}

function beamColumns(problem: LevelProblem): readonly ProgramColumn[] {
  const lines = problem.datum === "one plane" ? 1 : linesOf(problem).length;
  const free = (name: string): ProgramColumn => ({ name, cost: 0, low: -Infinity, high: Infinity });
  return [...Array.from({ length: lines }, (_, line) => [free(`a${line}`), free(`b${line}`)]).flat(), ...(hasAcross(problem) ? [free("c")] : [])];
}

function rodColumns({ rod }: LevelProblem, { giveWay }: Ask): readonly ProgramColumn[] {
  if (giveWay !== "rod") return [{ name: "rod", cost: 0, low: rod.lowMm, high: rod.highMm }];
  const beyond = (name: string): ProgramColumn => ({ name, cost: 1, low: 0, high: ROD_BEYOND_MM });
  return [{ name: "rod", cost: 0, low: -Infinity, high: Infinity }, beyond("rodUnder"), beyond("rodOver")];
}

function reseatColumns(problem: LevelProblem, { reseat, giveWay }: Ask): readonly ProgramColumn[] {
  return reseatable(problem).map((fret) => {
    const given = reseat === undefined ? undefined : reseat.includes(fret) ? 1 : 0;
    return { name: `s${fret}`, cost: giveWay === "reseating" ? 1 : 0, low: given ?? 0, high: given ?? 1, whole: given === undefined };
  });
}

function bandRow(problem: LevelProblem, { giveWay, leftOut }: Ask, index: number): ProgramRow {
  const top = problem.tops[index];
  if (top === undefined) throw new RangeError(`Cannot plan a levelling: there is no top ${index}`);
  const own = problem.datum === "one plane" ? 0 : linesOf(problem).indexOf(top.line);
  const wanted = -top.heightMm - top.fallAwayMm;
  return {
    name: `t${index}`, low: top.fret === leftOut ? -Infinity : wanted - problem.toleranceMm, high: wanted,
    terms: [
      [`r${index}`, -1], [`a${own}`, -1], [`b${own}`, -top.xMm / TILT_BASE_MM], ["rod", -top.reliefShare],
      ...(hasAcross(problem) ? [["c", -top.yMm / TILT_BASE_MM] as const] : []),
      ...((top.dropMm ?? 0) > 0 ? [[`s${top.fret}`, -(top.dropMm ?? 0)] as const] : []),
      ...(giveWay === "low frets" ? [[`w${index}`, 1] as const] : []),
    ],
  };
}

function reseatRows(problem: LevelProblem, { reseat, giveWay }: Ask): readonly ProgramRow[] {
  const frets = reseatable(problem);
  if (frets.length === 0 || reseat !== undefined || giveWay === "reseating") return [];
  return [{ name: "seats", terms: frets.map((fret) => [`s${fret}`, 1] as const), low: -Infinity, high: problem.reseatMax }];
}

/** A crown that is too low already is a row, since a bound under zero would contradict the column itself. */
function crownRows({ tops }: LevelProblem, { giveWay }: Ask): readonly ProgramRow[] {
  if (giveWay !== "crown") return tops.flatMap((top, index) => (top.spareMm < 0 ? [{ name: `u${index}`, terms: [[`r${index}`, 1]] as const, low: -Infinity, high: top.spareMm }] : []));
  return tops.flatMap((top, index) => (top.spareMm === Infinity ? [] : [{ name: `u${index}`, terms: [[`r${index}`, 1], ["crown", -1]] as const, low: -Infinity, high: top.spareMm }]));
}

function rodRows({ rod }: LevelProblem, { giveWay }: Ask): readonly ProgramRow[] {
  if (giveWay !== "rod") return [];
  return [
    { name: "rodLow", terms: [["rod", 1], ["rodUnder", 1]], low: rod.lowMm, high: Infinity },
    { name: "rodHigh", terms: [["rod", 1], ["rodOver", -1]], low: -Infinity, high: rod.highMm },
  ];
}

function hasAcross(problem: LevelProblem): boolean {
  return problem.datum === "one plane" && new Set(problem.tops.map(({ yMm }) => yMm)).size > 1;
}
