/** What was assumed, in the order in which it is told: shortened, the two that a decision hangs on most apart from the others. */
export type AssumedWords = { readonly most: readonly string[]; readonly common: readonly string[]; readonly others: readonly string[] };

/** How assumptions begin that a decision hangs on, the weightiest first: a wrong unit is wrong by 25 times, a turned rod or a strung neck is another neck, wood and strings carry most of what a bow is predicted by. */
const WEIGHTIEST = [
  "numbers without a unit", "rod: not stated", "strings: not stated", "wood of the neck", "strings: not given", "how deep the tangs bear", "leaves: ", "edge: ", "thickness of neck and board", "moisture across the grain",
] as const;

const TOLD_IN_FULL = 2;
const COMMON_PRACTICE = " (common practice, no source)";

/** Words that the heading says for all of them. */
const SAID_ABOVE = /: (?:size )?not (?:stated|given|named)(?: in full)?, taken as /;

/**
 * Sorts what was assumed for the eye; every assumption stays.
 * @param assumed as a survey or a prediction lists it
 */
export function assumedWords(assumed: readonly string[]): AssumedWords {
  const weight = (text: string): number => {
    const at = WEIGHTIEST.findIndex((start) => text.startsWith(start));
    return at < 0 ? WEIGHTIEST.length : at;
  };
  const ordered = [...assumed].sort((a, b) => weight(a) - weight(b));
  const most = ordered.slice(0, TOLD_IN_FULL).filter((text) => weight(text) < WEIGHTIEST.length || assumed.length <= TOLD_IN_FULL);
  const rest = assumed.filter((text) => !most.includes(text));
  return {
    most: most.map(shortened),
    common: rest.filter((text) => text.endsWith(COMMON_PRACTICE)).map((text) => shortened(text.slice(0, -COMMON_PRACTICE.length))),
    others: rest.filter((text) => !text.endsWith(COMMON_PRACTICE)).map(shortened),
  };
}

/** The same as a short list: what is common practice in one entry. */
export function assumedItems(assumed: readonly string[]): readonly string[] {
  const { most, common, others } = assumedWords(assumed);
  return [...most, ...others, ...(common.length === 0 ? [] : [`by common practice, without a source: ${common.join("; ")}`])];
}

/** The same as lines of plain text, under their heading. */
export function assumedLines(assumed: readonly string[]): readonly string[] {
  return assumed.length === 0 ? [] : ["Assumed, because it was not given:", ...assumedItems(assumed).map((item) => `  ${item}`)];
}

function shortened(text: string): string {
  return text.replace(SAID_ABOVE, ": ");
}
