import type { SeatingEntry, SurveySheet } from "../readings/reading.js";

/** What became of a fret end that was worked on. */
export type SeatingOutcome = "stayed down" | "came up once, down now" | "came up again" | "did not go down" | "open";

/** All tries on one fret and line, in the order typed. */
export type SeatingRecord = {
  readonly fret: number;
  readonly line: string;
  /** One line a try, as written: `rocks 2 > tapped > still`. */
  readonly tries: readonly string[];
  /** How often it was tapped, pressed or glued; where the log names no work, once for each look that follows one that found it up. */
  readonly worked: number;
  readonly outcome: SeatingOutcome;
  readonly describe: () => string;
};

const DOWN = /^(?:still|down|seated|sits?|flush|no (?:light|gap))\b/i;
const UP = /^(?:rock|up\b|high\b|lift|came up|comes up|springs?\b|gap\b|light\b)/i;
const WORK = /\b(?:re-?)?(?:tapp?|press|hammer|knock|clamp|glu|push|driv|drove|super ?glu|over-?bent|bent)/i;
const AGAIN = /\bagain\b|\bcame (?:back )?up\b|\bcomes (?:back )?up\b|\bsprings? (?:back|up)\b/i;

/**
 * The seating log by fret and line: one line a try. A fret that was down and is up later came up again; one that two tries or more left up did not go down.
 * Words that are neither up nor down (`tapped`, `pressed`, `glued`) are what was done between.
 */
export function seatingRecords(sheet: Pick<SurveySheet, "seating">): readonly SeatingRecord[] {
  const keyOf = ({ fret, line }: SeatingEntry): string => `${fret} ${line}`;
  const keys = [...new Set(sheet.seating.map(keyOf))];
  return keys.flatMap((key) => {
    const entries = sheet.seating.filter((entry) => keyOf(entry) === key);
    const [first] = entries;
    if (first === undefined) return [];
    const steps = entries.flatMap((entry) => entry.steps);
    const record = { fret: first.fret, line: first.line, tries: entries.map((entry) => entry.steps.join(" > ")), worked: workedOn(steps), outcome: outcomeOf(steps) };
    return [{ ...record, describe: () => recordWords(record) }];
  });
}

/** Whether a record calls for a new way: two tries or more did not hold. */
export function didNotHold({ outcome, worked }: Pick<SeatingRecord, "outcome" | "worked">): boolean {
  return worked >= MOST_TRIES && (outcome === "came up again" || outcome === "came up once, down now" || outcome === "did not go down");
}

function outcomeOf(steps: readonly string[]): SeatingOutcome {
  const seen = looksOf(steps);
  const cameUp = seen.includes("again") || (seen.includes("down") && seen.slice(seen.indexOf("down")).includes("up"));
  if (seen.length === 0) return "open";
  if (seen.at(-1) === "down") return cameUp ? "came up once, down now" : "stayed down";
  if (cameUp) return "came up again";
  return workedOn(steps) >= MOST_TRIES ? "did not go down" : "open";
}

function looksOf(steps: readonly string[]): readonly ("again" | "up" | "down")[] {
  return steps.flatMap((step) => (AGAIN.test(step) ? ["again" as const] : UP.test(step) ? ["up" as const] : DOWN.test(step) ? ["down" as const] : []));
}

function workedOn(steps: readonly string[]): number {
  const named = steps.filter((step) => WORK.test(step)).length;
  return named > 0 ? named : looksOf(steps).slice(0, -1).filter((look) => look !== "down").length;
}

/** So many tries that leave a fret up are enough (common practice, no source). */
const MOST_TRIES = 2;

function recordWords({ fret, line, tries, worked, outcome }: Omit<SeatingRecord, "describe">): string {
  const times = outcome === "stayed down" || outcome === "did not go down" || worked === 0 ? "" : ` (${worked} ${worked === 1 ? "try" : "tries"})`;
  return `Fret ${fret}, ${line}: ${tries.join("; then ")}: ${OUTCOME_WORDS[outcome]}${times}.`;
}

const OUTCOME_WORDS: Readonly<Record<SeatingOutcome, string>> = {
  "stayed down": "stayed down", "came up once, down now": "came up once and is down now: look again the next day", "came up again": "came up again", "did not go down": "did not go down in two tries", open: "not finished",
};
