import type { HeightTerm, Survey } from "../survey/survey.js";
import { quantileSorted } from "simple-statistics";
import { fretChanges, standing } from "../survey/movedFrets.js";
import type { Measured } from "../units/measured.js";
import type { UnitOrder } from "../units/words.js";
import type { Comparison, FretChange, SurveyName } from "./comparisonResult.js";
import { commonStretch } from "./commonStretch.js";
import { comparisonWords } from "./comparisonWords.js";
import { besideCommonBow, changeForms, formsOf, lineChange } from "./lineChange.js";
import type { ChangeForms, LineChange, NotCompared, Surveys } from "./lineChange.js";
import { chanceOfSuch } from "./movement.js";
import { statesCompared } from "./unlikeStates.js";

/** The level of the test: an unmoved neck is said to have moved this often. */
const LEVEL = 0.05;
/** Movement of any place below this is of no use to know (common practice, no source). */
const SETTLED_MM = 0.05;
const DRAWS = 2000;
const CHANCE_DRAWS = 1000;
const SEED = 20_26;

/** Every survey compared with the one before it, in order of time. */
export function comparisons(together: Surveys): readonly Comparison[] {
  return together.surveys.slice(1).map((_, index) => compareSurveys(together, index, index + 1));
}

/**
 * What moved between two surveys of a neck, which way, by how much, and how sure that is.
 * The test is on determined contrasts: the even bow of all lines together, and what is left of the neck line's change at five places of every line that both surveys read.
 * @param together what `adjustTogether` gave
 * @param earlier index of the earlier survey; the first unless said
 * @param later index of the later survey; the last unless said
 * @throws {RangeError} an index that is none of the surveys
 */
export function compareSurveys(together: Surveys, earlier = 0, later: number = together.surveys.length - 1): Comparison {
  const [before, after] = [together.surveys[earlier], together.surveys[later]];
  if (before === undefined || after === undefined || earlier === later) throw new RangeError(`Cannot compare survey ${earlier + 1} with survey ${later + 1}: expected two of the ${together.surveys.length} surveys`);
  const forms = changeForms(together, earlier, later);
  const compared = forms.filter((one): one is ChangeForms => "heights" in one);
  const head = { neck: before.neck.name, earlier: nameOf(before), later: nameOf(after), surveys: [before, after], states: statesCompared(before.sheet.state, after.sheet.state) } as const;
  const bowOver = commonStretch(before.neck, compared.map(({ stretch }) => stretch));
  if (bowOver === undefined) {
    const missing = forms.map((one) => ("need" in one ? one.need : "")).find((one) => one !== "") ?? "read at least one line of the neck in both surveys";
    const need = isAnyLineCommon(before, after) ? missing : `no line was read in both (${linesWords(before)} then, ${linesWords(after)} now): read ${linesWords(before)} again as it was read before`;
    const found = { status: "undetermined", ...head, need } as const;
    return { ...found, describe: (order: UnitOrder = "mm first") => comparisonWords(found, order) };
  }
  const draws = drawsByLine(together, compared);
  const lines = forms.map((one): LineChange => ("need" in one ? one : lineChange(together, one, draws.get(one) ?? [])));
  const bowTerms = bowOver.lines.flatMap((line) => formsOf({ ...bowOver, line, reached: true }, earlier, later).bow.map((term) => ({ ...term, weight: term.weight / bowOver.lines.length })));
  const bow = together.linear(bowTerms);
  const chances = chancesOfBoth(bow.value, compared, lines, together.unmoved([bowTerms, ...compared.flatMap(({ heights }) => everySecond(heights))], [earlier, later], CHANCE_DRAWS, SEED));
  const chanceUnmoved = Math.min(1, chances.ofBow / BOW_SHARE, chances.ofRest / (1 - BOW_SHARE));
  const frets = fretChanges(before, after, standingChange(before, together, earlier, later));
  const mostMm = mostMoved(draws);
  const found = { status: statusOf(chanceUnmoved, mostMm, frets), ...head, bow, bowOver, byBow: chances.ofBow < LEVEL * BOW_SHARE, mostMm, chanceUnmoved, lines, frets } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => comparisonWords(found, order) };
}

function linesWords({ datum }: Survey): string {
  return [...new Set(datum.map(({ line }) => line))].join(" and ");
}

function isAnyLineCommon(before: Survey, after: Survey): boolean {
  return before.datum.length === 0 || after.datum.length === 0 || before.datum.some(({ line }) => after.datum.some((other) => other.line === line));
}

function nameOf({ sheet: { stage, date } }: Survey): SurveyName {
  return { stage, date };
}

function drawsByLine(together: Surveys, compared: readonly ChangeForms[]): ReadonlyMap<ChangeForms | NotCompared, readonly Float64Array[]> {
  const draws = together.draws(compared.flatMap(({ heights }) => heights), DRAWS, SEED);
  let start = 0;
  return new Map(compared.map((one) => {
    const from = start;
    start += one.heights.length;
    return [one, draws.map((draw) => draw.subarray(from, from + one.heights.length))] as const;
  }));
}

/** Of the level of the test, the share that goes to the bow of all lines together; the rest goes to everything else. */
const BOW_SHARE = 0.8;

/** How likely chance alone brings as much bow, and as much beside it at five evenly spread places of every line: more places would say the same again, the neck line being smooth. */
function chancesOfBoth(bowMm: number, compared: readonly ChangeForms[], lines: readonly LineChange[], byChance: readonly Float64Array[]): { readonly ofBow: number; readonly ofRest: number } {
  const lengthsMm = compared.map(({ stretch: { from, to } }) => to.xMm - from.xMm);
  const found = lines.flatMap((line) => (line.status === "compared" ? [everySecond(line.changeMm.slice(1, -1))] : []));
  const starts = found.map((_, index) => found.slice(0, index).reduce((sum, places) => sum + places.length, 1));
  const ofLines = (draw: Float64Array): readonly Float64Array[] => found.map(({ length }, index) => draw.subarray(starts[index] ?? 0, (starts[index] ?? 0) + length));
  return {
    ofBow: chanceOfSuch([bowMm], byChance.map((draw) => [draw[0] ?? NaN])),
    ofRest: chanceOfSuch(besideCommonBow(found, lengthsMm), byChance.map((draw) => besideCommonBow(ofLines(draw), lengthsMm))),
  };
}

function everySecond<T>(places: readonly T[]): readonly T[] {
  return places.filter((_, at) => at % 2 === 1);
}

function statusOf(chanceUnmoved: number, mostMm: number, frets: readonly FretChange[]): Extract<Comparison, { bow: unknown }>["status"] {
  if (chanceUnmoved < LEVEL) return "moved";
  if (mostMm >= SETTLED_MM) return "open";
  return frets.length > 0 ? "fret moved" : "settled";
}

/** What no place of any line moved by more than, in 19 draws of 20, bow or not. */
function mostMoved(draws: ReadonlyMap<unknown, readonly Float64Array[]>): number {
  const lines = [...draws.values()];
  const most = Array.from({ length: lines[0]?.length ?? 0 }, (_, at) => Math.max(...lines.flatMap((line) => [...(line[at] ?? [])].map(Math.abs))));
  return quantileSorted(most.sort((a, b) => a - b), 0.95);
}

/** How a fret stands over the neck line in one survey against another. */
function standingChange(survey: Survey, together: Surveys, earlier: number, later: number): (line: string, fret: number) => Measured {
  const of = (line: string, fret: number, index: number, sign: number): readonly HeightTerm[] => standing(survey, line, fret).map((term) => ({ ...term, survey: index, weight: sign * term.weight }));
  return (line, fret) => together.linear([...of(line, fret, later, 1), ...of(line, fret, earlier, -1)]);
}
