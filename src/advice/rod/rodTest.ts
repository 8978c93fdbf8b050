import type { TrussRod } from "../../neck/neck.js";
import { magnitude } from "../../shape/drawn.js";
import { NORMAL_95, type Measured } from "../../units/measured.js";
import { capital } from "../../units/text.js";
import { lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { normalCdf } from "../../survey/likelihood/normal.js";
import { sureWords } from "../advice.js";
import { ROD_CAUTIONS } from "../cautions.js";
import { rodGrid, type RodGuess, type RodReadings } from "./rodGrid.js";
import { shareWhere, weightedMeasured } from "./weighted.js";

/** What a rod does one way. */
export type RodWayResult =
  | { readonly status: "works"; readonly probability: number; /** Relief that a turn moves past the dead zone, mm, above 0. */ readonly perTurn: Measured }
  | { readonly status: "does not work"; readonly probability: number }
  | { readonly status: "not sure"; /** Of its working. */ readonly probability: number }
  | { readonly status: "not tested" };

/** Whether the neck came back when the nut did. */
export type RodReturn =
  | { readonly status: "returned" | "did not return" | "not sure"; /** Last less first at the same position of the nut, mm. */ readonly change: Measured; readonly turns: number }
  | { readonly status: "not read" };

/** A rod test, as far as the readings tell. */
export type RodTest = {
  readonly verdict: "pass" | "fail" | "not sure";
  /** Counted toward back bow; where that was not known beforehand, as the readings show it. */
  readonly towardBackBow: RodWayResult;
  readonly towardForwardBow: RodWayResult;
  /** Turns before the rod bears, from neutral. */
  readonly deadTurns: Measured;
  readonly returned: RodReturn;
  /** Which way the nut gives more relief as the readings show it, and how probable that is; absent where turns were counted by what they do, or where nothing moved. */
  readonly moreRelief?: { readonly way: "clockwise" | "anticlockwise"; readonly probability: number };
  /** How far the nut was turned at most, each way. Travel beyond that is not known. */
  readonly triedTurns: { readonly towardBackBow: number; readonly towardForwardBow: number };
  /** Everything the rod may be, weighed by the readings. */
  readonly guesses: readonly RodGuess[];
  readonly cautions: readonly string[];
  readonly describe: (order?: UnitOrder) => string;
};

/** A way works when a quarter turn past the dead zone moves the middle by more than readings of a hand can miss. */
const WORKS_MM_PER_TURN = 0.08;
const SURE = 0.95;
/** The neck came back when its middle is within this of where it was. */
const RETURNED_MM = 0.03;
const SAME_TURNS = 0.02;
const LEAST_U_MM = 0.001;

/**
 * Judges a rod by readings at several positions of its nut, in the order in which they were taken.
 * @param series two readings or more
 * @param rod what the neck file says of it: a rod said to work one way is not failed for not working the other way
 * @throws {RangeError} fewer than two readings
 */
export function rodTest(series: RodReadings, rod?: Pick<TrussRod, "works">): RodTest {
  const { readings, towardBackShare } = series;
  const guesses = rodGrid(series, rod);
  const straightShare = shareWhere(guesses, (guess) => guess.sense > 0);
  const sense = straightShare >= 0.5 ? 1 : -1;
  const tried = (way: 1 | -1): number => Math.max(0, ...readings.map(({ turns }) => way * sense * turns));
  const towardBackBow = wayResult(guesses, tried(1), (guess) => guess.backPerTurn);
  const towardForwardBow = wayResult(guesses, tried(-1), (guess) => guess.forwardPerTurn);
  const deadTurns = weightedMeasured(guesses.map(({ deadTurns: value, weight }) => ({ value, weight })), "1");
  const claimed = rod?.works === "one way" ? [towardBackBow] : [towardBackBow, towardForwardBow];
  const moved = [towardBackBow, towardForwardBow].some(({ status }) => status === "works");
  const test = {
    verdict: verdictOf(claimed),
    towardBackBow, towardForwardBow, deadTurns,
    returned: returnOf(series),
    ...(towardBackShare >= 1 || !moved ? {} : { moreRelief: { way: sense > 0 ? "anticlockwise" : "clockwise", probability: Math.max(straightShare, 1 - straightShare) } as const }),
    triedTurns: { towardBackBow: tried(1), towardForwardBow: tried(-1) },
    guesses, cautions: ROD_CAUTIONS,
  };
  return { ...test, describe: (order: UnitOrder = "mm first") => rodTestLines(test, rod, order).join("\n") };
}

/** Over all guesses, so that what is not known of the nut's way is in the probability. */
function wayResult(guesses: readonly RodGuess[], tried: number, perTurn: (guess: RodGuess) => number): RodWayResult {
  if (tried < SAME_TURNS) return { status: "not tested" };
  const works = (guess: RodGuess): boolean => perTurn(guess) >= WORKS_MM_PER_TURN;
  const probability = shareWhere(guesses, works);
  if (probability >= SURE) return { status: "works", probability, perTurn: weightedMeasured(guesses.filter(works).map((guess) => ({ value: perTurn(guess), weight: guess.weight })), "mm") };
  return probability <= 1 - SURE ? { status: "does not work", probability: 1 - probability } : { status: "not sure", probability };
}

function verdictOf(claimed: readonly RodWayResult[]): RodTest["verdict"] {
  if (claimed.some(({ status }) => status === "does not work")) return "fail";
  return claimed.every(({ status }) => status === "works") ? "pass" : "not sure";
}

/** The last two readings at one position of the nut between which it was elsewhere. */
function returnOf({ readings, covarianceMm2 }: RodReadings): RodReturn {
  for (let last = readings.length - 1; last > 1; last--) {
    const end = readings[last];
    const first = readings.findIndex(({ turns }) => end !== undefined && Math.abs(turns - end.turns) < SAME_TURNS);
    const start = readings[first];
    const away = readings.slice(first + 1, last).some(({ turns }) => end !== undefined && Math.abs(turns - end.turns) >= SAME_TURNS);
    if (end === undefined || start === undefined || first >= last || !away) continue;
    const shared = covarianceMm2?.[first]?.[last] ?? 0;
    const [mm, u] = [end.reliefMm - start.reliefMm, Math.sqrt(Math.max(end.uMm ** 2 + start.uMm ** 2 - 2 * shared, LEAST_U_MM ** 2))];
    const within = normalCdf((RETURNED_MM - mm) / u) - normalCdf((-RETURNED_MM - mm) / u);
    const status = within >= SURE ? "returned" : within <= 1 - SURE ? "did not return" : "not sure";
    return { status, turns: end.turns, change: { value: mm, u, unit: "mm", low95: mm - NORMAL_95 * u, high95: mm + NORMAL_95 * u } };
  }
  return { status: "not read" };
}

function rodTestLines(test: Omit<RodTest, "describe">, rod: Pick<TrussRod, "works"> | undefined, order: UnitOrder): readonly string[] {
  const { verdict, towardBackBow, towardForwardBow, deadTurns, returned, moreRelief, triedTurns } = test;
  const oneWay = rod?.works === "one way";
  const headline = { pass: "The rod works.", fail: "The rod does not do what it should.", "not sure": "Not sure yet whether the rod does what it should." }[verdict];
  const dead = towardBackBow.status === "works" || towardForwardBow.status === "works"
    ? [`It begins to bear after ${turnWords(deadTurns.value)} from neutral${betweenWords(deadTurns)}.`] : [];
  const way = moreRelief === undefined ? [] : [`Turning ${moreRelief.way} gives more relief: ${sureWords(moreRelief.probability)}.`];
  return [
    headline,
    wayWords("toward back bow", towardBackBow, triedTurns.towardBackBow, order),
    oneWay && towardForwardBow.status !== "works" ? "Toward forward bow: a rod that works one way can only let the neck go, not push it there; back bow with the rod slack is not curable by it." : wayWords("toward forward bow", towardForwardBow, triedTurns.towardForwardBow, order),
    ...way, ...dead, returnWords(returned, order),
    `Tried up to ${turnWords(triedTurns.towardBackBow)} toward back bow and ${turnWords(triedTurns.towardForwardBow)} toward forward bow; nothing is said of travel beyond that.`,
    ...nextWords(test, oneWay), ...test.cautions,
  ];
}

function wayWords(way: string, result: RodWayResult, tried: number, order: UnitOrder): string {
  if (result.status === "not tested") return `${capital(way)}: not tried.`;
  if (result.status === "works") return `${capital(way)}: works, ${measuredWords(result.perTurn, order)} at the middle for a whole turn; ${sureWords(result.probability)}.`;
  if (result.status === "does not work") return `${capital(way)}: nothing moved in ${turnWords(tried)}; that it does not work is ${sureWords(result.probability)}.`;
  return `${capital(way)}: open; that it works is about ${Math.round(10 * result.probability)} in 10.`;
}

function returnWords(returned: RodReturn, order: UnitOrder): string {
  if (returned.status === "not read") return "Whether the neck comes back when the nut does was not read: turn back to where you began and read once more.";
  const change = measuredWords(magnitude(returned.change), order);
  if (returned.status === "returned") return `With the nut back where it was, the neck came back too, within ${lengthWords(RETURNED_MM, order)}.`;
  return returned.status === "did not return" ? `With the nut back where it was, the neck did not come back: its middle stands ${change} ${returned.change.value < 0 ? "toward back bow" : "toward forward bow"} of where it was. Let it settle, read again.` : `With the nut back where it was, the middle stands ${change} from where it was: too little to tell from the readings.`;
}

function nextWords({ towardBackBow, towardForwardBow, triedTurns }: Pick<RodTest, "towardBackBow" | "towardForwardBow" | "triedTurns">, oneWay: boolean): readonly string[] {
  return [
    ...wayNext("toward back bow", towardBackBow, triedTurns.towardBackBow),
    ...(oneWay ? [] : wayNext("toward forward bow", towardForwardBow, triedTurns.towardForwardBow)),
  ];
}

/** A quarter turn that moved nothing is where turning stops, not where it goes on. */
const STILL_TURNS = 0.25;
const UNLIKELY = 0.5;

function wayNext(way: string, result: RodWayResult, tried: number): readonly string[] {
  if (result.status === "not tested") return [`To know more ${way}: turn the nut a quarter turn that way if it goes easily, wait, lay the same edge on the same line and read the middle again.`];
  if (result.status !== "not sure") return [];
  return tried >= STILL_TURNS - 0.01 && result.probability < UNLIKELY
    ? [`To know more ${way}: ${turnWords(tried)} moved nothing that these readings see, so turn no farther. Read the same places three times more there and at neutral; if nothing shows, ask the rod maker.`]
    : [`To know more ${way}: read the middle three times more at the same positions, or go a quarter turn on if it turns easily, wait, and read again.`];
}

/** Turns as a builder says them. @example equal(turnWords(0.26), "a quarter turn"); */
export function turnWords(turns: number): string {
  const eighths = Math.round(8 * Math.abs(turns));
  const whole = Math.floor(eighths / 8);
  const part = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"][eighths % 8] ?? "";
  const named: Readonly<Record<number, string>> = { 0: "no turn", 1: "an eighth of a turn", 2: "a quarter turn", 4: "half a turn", 8: "one turn" };
  return named[eighths] ?? (whole === 0 ? `${part} of a turn` : `${whole}${part === "" ? "" : ` ${part}`} turns`);
}

/** The ends of an interval of turns, where they are told apart by eighths. */
export function betweenWords({ low95, high95 }: Pick<Measured, "low95" | "high95">): string {
  const [low, high] = [turnWords(low95), turnWords(high95)];
  return low === high ? "" : ` (between ${low} and ${high})`;
}
