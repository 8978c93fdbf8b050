import type { TrussRod } from "../../neck/neck.js";
import { bowWords, lengthWords, type UnitOrder } from "../../units/words.js";
import { betweenWords, turnWords } from "./rodTest.js";
import type { RodTurns } from "./rodTurns.js";

type Way = "turn toward back bow" | "turn toward forward bow";

/** Which way round the nut goes, as far as the neck file says which way does what. */
function clockOf(rod: Pick<TrussRod, "moreRelief"> | undefined, way: Way | "read first"): "clockwise" | "anticlockwise" | undefined {
  if (rod?.moreRelief === undefined || way !== "turn toward back bow") return rod?.moreRelief;
  return rod.moreRelief === "clockwise" ? "anticlockwise" : "clockwise";
}

/** Which way to turn the nut; where that is not known, what it is to do. */
export function nutWords(rod: Pick<TrussRod, "moreRelief"> | undefined, way: Way | "read first"): string {
  const clock = clockOf(rod, way);
  if (clock === undefined) return `turn the rod ${way === "turn toward back bow" ? "toward back bow (middle high)" : "toward forward bow (middle low)"}`;
  return `turn the nut ${clock} (seen from the wrench's end)`;
}

/** The same in a word, for a card: `nut clockwise (from the wrench's end)`; undefined where it is not known. */
export function rodTurnWords(rod: Pick<TrussRod, "moreRelief"> | undefined, way: Way): string | undefined {
  const clock = clockOf(rod, way);
  return clock === undefined ? undefined : `nut ${clock} (from the wrench's end)`;
}

/** How far, step by step, where it is known which way the nut works. Book sizes give one figure and no range, since its upper end would be heard as leave to turn that far. */
export function turningWords(turns: RodTurns | undefined): string {
  if (turns === undefined) return "How far is not known for this rod: turn an eighth, wait, read the middle again; what it moved tells how far to go.";
  const { inAll, firstStep, from } = turns;
  const step = firstStep < 1 / 8 ? "less than an eighth of a turn" : turnWords(firstStep);
  if (from === "rod test") return `In all about ${turnWords(inAll.value)}${betweenWords(inAll)}, from this rod's own test: first ${step}, wait, read again, then go on from what that moved.`;
  const next = firstStep < QUARTER ? "you turn it any further" : "a second quarter";
  return `About ${turnWords(inAll.value)} by book sizes, which may be far off. Turn ${step.replace(/^a quarter turn$/, "a quarter").replace(/^an eighth of a turn$/, "an eighth")}, wait, read. Do the rod test before ${next}.`;
}

const QUARTER = 0.25;

/** How far, to be read once it is found which way the nut works. */
export function afterFindingWords(turns: RodTurns | undefined): string {
  if (turns === undefined) return "How far is not known for this rod: what the eighth of a turn moved tells how far to go.";
  const words = turningWords(turns);
  return `Once the way is known: ${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

/**
 * How to find out which way the nut works, by the place that shows it.
 * A slack nut bears on nothing, and turned looser it moves nothing and may come off: what tightens it is found by the hand.
 * @param isBackBow whether the neck is in back bow now: an edge on it rocks on the middle, so that its ends stand off and no gap is there to be read
 */
export function findingWords(way: Way, fret: string, isBackBow: boolean, isSlack = false): string {
  const [read, more, less] = isBackBow ? ["read again how far the ends of the edge stand off", "Farther", "Less"] : [`read fret ${fret} again`, "Gap larger", "Gap smaller"];
  const isMoreWrong = (way === "turn toward back bow") !== isBackBow;
  const [right, wrong] = isMoreWrong ? [less, more] : [more, less];
  const start = isSlack && way === "turn toward back bow"
    ? `The nut is slack, and turning it looser moves nothing: take up the slack the way it tightens (clockwise on most nuts, seen from the wrench's end), an eighth of a turn at a time with light fingers, until it just bears, and ${read}. Then find out: an eighth of a turn more, wait, ${read}.`
    : `Find out first: an eighth of a turn anticlockwise (seen from the wrench's end), wait, ${read}.`;
  return `${start} ${wrong}: wrong way, turn back. ${right}: right way. No change: turn back and stop; do the rod test.`;
}

/** What the middle must do, in a word that a level shows: `come up`. */
export function middleMustWords(way: Way): string {
  return way === "turn toward back bow" ? "come up" : "come down";
}

/** How sure it is that the middle must move, said of the neck and not of the nut. */
export function needWords(probability: number): string {
  if (probability >= 0.995) return "as good as certain";
  if (probability >= 0.95) return "almost sure";
  return probability >= 0.8 ? "likely" : "not sure";
}

/** The same as odds. */
export function oddsWords(probability: number): string {
  if (probability >= 0.995) return needWords(probability);
  return probability >= 0.95 ? "more than 19 times in 20" : `about ${Math.floor(10 * probability)} times in 10`;
}

/** Less than this is not told from straight. */
const STRAIGHT_MM = 0.01;

/** What the neck will read after the turn while it is still bare, with its sign, so that nobody takes it for a turn too far. */
export function stillBareWords(bareMm: number, strungMm: number, order: UnitOrder): string {
  const strung = `${lengthWords(Math.abs(strungMm), order)} ${bowWords(strungMm)}`;
  const shows = Math.abs(bareMm) < STRAIGHT_MM ? "no bow" : bareMm < 0 ? `about ${lengthWords(-bareMm, order)} ${bowWords(bareMm)}, and rock` : `about ${lengthWords(bareMm, order)} ${bowWords(bareMm)}`;
  return `After the turn, still bare, the edge should show ${shows}. That is meant; the strings take it to about ${strung}.`;
}
