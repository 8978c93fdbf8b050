/** Something wrong in what a user wrote: where it stands, what stood there, what was expected, and the likely repair. */
export type Problem = {
  /** File or table name as the user knows it. */
  readonly source: string;
  /** Line of the file or table, counted from 1; absent where a problem has no row (a key of a JSON file, say). */
  readonly row?: number;
  /** Column heading, or the key's path inside a JSON file (`lines.bass.share`). */
  readonly column?: string;
  readonly found: string;
  readonly expected: string;
  readonly repair?: string;
};

/** What reading user input gives: a value, or every problem of it at once. */
export type Outcome<T> =
  | { readonly status: "read"; readonly value: T }
  | { readonly status: "refused"; readonly problems: readonly [Problem, ...Problem[]] };

/** One sentence for one problem: `readings.csv, row 7, column gap: found "3-4"; expected …; …`. */
export function problemSentence(problem: Problem): string {
  const where = [problem.source, problem.row === undefined ? "" : `row ${problem.row}`, problem.column === undefined ? "" : `column ${problem.column}`];
  const repair = problem.repair === undefined ? "" : ` (${problem.repair})`;
  return `${where.filter((part) => part !== "").join(", ")}: found ${problem.found}; expected ${problem.expected}${repair}`;
}

/**
 * The value of an outcome.
 * @param what what was read, in the user's words, for the first line of the message
 * @throws {SyntaxError} input that was refused; the message lists every problem, one a line
 */
export function valueOrThrow<T>(outcome: Outcome<T>, what: string): T {
  if (outcome.status === "read") return outcome.value;
  const lines = outcome.problems.map((problem) => `  ${problemSentence(problem)}`);
  throw new SyntaxError(`Cannot read ${what}: ${lines.length} problem${lines.length === 1 ? "" : "s"}\n${lines.join("\n")}`);
}
