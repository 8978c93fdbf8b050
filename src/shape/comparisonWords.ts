import { bowWords, giveOrTakeMm, lengthWords, measuredWords } from "../units/words.js";
import { capital } from "../units/text.js";
import type { UnitOrder } from "../units/words.js";
import type { Comparison, FretChange, SurveyName } from "./comparisonResult.js";
import type { LineChange } from "./lineChange.js";
import { magnitude } from "./drawn.js";
import { isAlike } from "./sheetsInTime.js";
import { named, spanWords } from "./span.js";
import type { Untold } from "./question.js";
import type { StatesCompared } from "./unlikeStates.js";

type Compared = Extract<Untold<Comparison>, { bow: unknown }>;

/** A comparison in a builder's words: what moved, which way, by how much, real or not, how much of it is bow, and whether the states were alike. */
export function comparisonWords(found: Untold<Comparison>, order: UnitOrder): string {
  const states = statesSentences(found.states);
  if (found.status === "undetermined") return [`${found.neck}: the two surveys cannot be compared. To compare them: ${found.need}.`, ...states].join("\n");
  return [toDo(found), headline(found, order), ...found.lines.map((line) => lineSentence(line, order)), ...shareSentence(found, order), ...fretSentences(found.frets, order), ...found.surveys.flatMap(({ blunders }) => blunders.map(({ sentence }) => sentence)), ...twiceSentence(found), ...states].join("\n");
}

/** Two sheets without a date that say the same throughout are rather one. */
function twiceSentence({ surveys: [before, after] }: Compared): readonly string[] {
  return isAlike(before.sheet, after.sheet) ? ["Both surveys hold the same readings throughout: see that it is not one sheet given twice."] : [];
}

/** What to do about it, before anything else. */
function toDo(found: Compared): string {
  const { neck } = found;
  const [fret] = found.frets;
  if (found.status === "open" && fret !== undefined) return `Look at fret ${fret.fret} of ${neck} (${fret.line} line), which stands otherwise than before, and read the neck once more: the readings are too few to see a small movement.`;
  if (found.status === "open") return `Read ${neck} once more before you decide anything by this: the readings are too few to see a small movement.`;
  if (found.states.unlike.length > 0) return `Bring ${neck} to the same state as before and read it again, unless you meant to compare the two states.`;
  if (fret !== undefined) return `Look at fret ${fret.fret} of ${neck} (${fret.line} line) before you go on: it stands otherwise than before.`;
  if (found.status === "settled") return `Go on with ${neck}, but read it once more before levelling: nothing moved that matters.`;
  return `Let ${neck} rest and read it again in the same state; go on when two surveys agree.`;
}

/** `moved toward back bow (middle high) since glue-up by 0.08 mm, give or take 0.03. Moved, almost sure.` */
function headline(found: Compared, order: UnitOrder): string {
  const since = sinceWords(found.earlier);
  const way = `toward ${bowWords(found.bow.value)}`;
  const much = `${measuredWords(magnitude(found.bow), order)}${overWords(found)}`;
  if (found.status === "moved") {
    const sure = found.chanceUnmoved < 0.01 ? "Moved, almost sure." : "Moved, very likely.";
    return found.byBow ? `${found.neck} moved ${way} ${since} by ${much}. ${sure}` : `${found.neck} changed shape ${since}, though not by an even bow (${much} ${way}). ${sure}`;
  }
  const most = lengthWords(found.mostMm, order);
  if (found.status === "fret moved") return `${found.neck}: the line of the neck has not moved ${since} by more than ${most}, but ${fretsMoved(found.frets)} otherwise than before.`;
  if (found.states.unlike.length > 0 && found.status === "settled") return `${found.neck}: whether it has settled cannot be judged, since the two were read in unlike states (${found.states.unlike.join("; ")}). Your readings tell no movement ${since} from none, and none of more than ${most}.`;
  if (found.status === "settled") return `${found.neck} has settled: no movement ${since} that your readings tell from none, and none of more than ${most}.`;
  return `${found.neck}: no movement ${since} that your readings tell from none; but up to ${most} would go unseen. More readings on the same lines, under the same edge, would narrow that.`;
}

/** Said only where the lines were not all read over the same stretch. */
function overWords({ lines, bowOver }: Compared): string {
  const compared = lines.flatMap((line) => (line.status === "compared" ? [line] : []));
  if (compared.every(({ from, to }) => from.fret === bowOver.from.fret && to.fret === bowOver.to.fret)) return "";
  return ` over frets ${bowOver.from.label} to ${bowOver.to.label} (${bowOver.lines.join(", ")})`;
}

function fretsMoved(frets: readonly FretChange[]): string {
  const numbers = [...new Set(frets.map(({ fret }) => fret))].sort((a, b) => a - b);
  return numbers.length === 1 ? `fret ${numbers.join("")} stands` : `frets ${numbers.join(", ")} stand`;
}

function sinceWords({ stage, date }: SurveyName): string {
  const what = [stage === "" ? "" : `"${stage}"`, date === "" ? "" : `(${date})`].filter((part) => part !== "").join(" ");
  return what === "" ? "since the earlier survey" : `since ${what}`;
}

function lineSentence(line: LineChange, order: UnitOrder): string {
  if (line.status === "not compared") return `${named(line.line)}: not compared: ${line.need}.`;
  const open = line.bow.low95 < 0 && line.bow.high95 > 0;
  const much = measuredWords(magnitude(line.bow), order);
  const where = `${named(line.line)}, ${spanWords(line)}`;
  if (open && Math.abs(line.bow.value) < NOTHING_MM) return `${where}: no change, give or take ${lengthWords(giveOrTakeMm(line.bow), order)}.`;
  return open ? `${where}: no sure change of bow, best estimate ${much} toward ${bowWords(line.bow.value)}.` : `${where}: toward ${bowWords(line.bow.value)} by ${much}.`;
}

/** Rounds to nothing in print. */
const NOTHING_MM = 0.005;

/** How much of what moved is an even bow, and where the rest is largest. */
function shareSentence(found: Compared, order: UnitOrder): readonly string[] {
  if (found.status !== "moved") return [];
  const lines = found.lines.flatMap((line) => (line.status === "compared" ? [line] : []));
  const [local] = [...lines].sort((a, b) => Math.abs(b.local.value) - Math.abs(a.local.value));
  if (local === undefined) return [];
  const share = lines.reduce((sum, line) => sum + line.bowShare, 0) / lines.length;
  const part = share > 0.95 ? "Nearly all of it is an even bow of the whole neck" : share > 0.75 ? "Most of it is an even bow of the whole neck" : share > 0.4 ? "About half of it is an even bow, the rest local" : "Little of it is an even bow; it is local";
  const sure = local.local.low95 > 0 || local.local.high95 < 0;
  const rest = sure
    ? `beside the bow the ${local.line} line went ${local.local.value > 0 ? "up" : "down"} most near fret ${local.localAt.label}, by ${measuredWords(magnitude(local.local), order)}`
    : `no sure local change beside it: at most ${lengthWords(Math.max(...lines.map(({ localMostMm }) => localMostMm)), order)}`;
  return [`${part}; ${rest}.`];
}

const MOST_FRETS = 4;

function fretSentences(frets: readonly FretChange[], order: UnitOrder): readonly string[] {
  const told = frets.slice(0, MOST_FRETS).map(({ line, fret, up }) => `Fret ${fret}, ${line} line, stands ${up.value > 0 ? "higher" : "lower"} over the neck line than before, by ${measuredWords(magnitude(up), order)}.`);
  return frets.length > MOST_FRETS ? [...told, `So do ${frets.length - MOST_FRETS} more places.`] : told;
}

/** That two surveys were taken in unlike states, and in which. */
export function unlikeWords({ unlike }: Pick<StatesCompared, "unlike">): readonly string[] {
  return unlike.length === 0 ? [] : [`The two surveys were taken in unlike states, which may be what moved it: ${unlike.join("; ")}.`];
}

function statesSentences({ same, unlike, unknown }: StatesCompared): readonly string[] {
  return [
    ...unlikeWords({ unlike }),
    ...(same.length === 0 ? [] : [`${capital(same.join(", "))}.`]),
    ...(unknown.length === 0 ? [] : [`Not stated both times, taken as alike: ${unknown.join(", ")}.`]),
  ];
}
