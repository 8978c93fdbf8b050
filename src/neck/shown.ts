/** Longest text repeated in a message. */
const LONGEST_SHOWN = 60;

/** What stood in an input, short enough for a message: `"12 cm"`, `25`, `nothing`, `a list of 3`. */
export function shown(found: unknown): string {
  if (found === undefined || found === null || found === "") return "nothing";
  if (typeof found === "string") return quoted(found);
  if (typeof found === "number" || typeof found === "boolean" || typeof found === "bigint") return String(found);
  if (Array.isArray(found)) return `a list of ${found.length}`;
  return typeof found === "object" ? "an object { }" : `a ${typeof found}`;
}

/** Text between quotes, cut where it is long. */
export function quoted(text: string): string {
  const whole = JSON.stringify(text.slice(0, LONGEST_SHOWN));
  return text.length > LONGEST_SHOWN ? `${whole} and ${text.length - LONGEST_SHOWN} letters more` : whole;
}
